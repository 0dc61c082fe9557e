"""`capture(...)` and `circuit(...)` in a code cell: pictures, with what was measured on them."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from pathlib import Path

from authorkit.circuit.view import circuit_of
from authorkit.desk.asking import AskError, chapter_here, series_asked, unknown
from authorkit.desk.book_state import manual_above
from authorkit.drawing import Picture, draw_circuit
from authorkit.drawing.capture import draw_capture
from authorkit.model.point import Point
from authorkit.model.specification import Waveform
from authorkit.output.html.markup import escape, tag
from authorkit.problems import Place
from authorkit.signals.capture import CaptureError
from authorkit.signals.measure import MEASUREMENTS, show_measured
from authorkit.signals.summary import Summary, summary_of


@dataclass(frozen=True)
class Shown:
    """A picture with what was measured on it; `image/svg+xml` is what a page takes."""

    picture: Picture
    rows: tuple[tuple[str, str], ...] = ()

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        """IPython's hook."""
        address = f"data:image/svg+xml;base64,{base64.b64encode(self.picture.svg).decode()}"
        size = f"width:{self.picture.width_mm:.1f}mm;max-width:none;background:#fff;padding:2mm"
        cells = (
            tag("tr", *(tag("td", escape(text), style="padding:0 8px;text-align:left") for text in row))
            for row in self.rows
        )
        table = tag("table", *cells) if self.rows else ""
        return {
            "text/html": tag("div", tag("img", src=address, alt=self.picture.alt, style=size), table),
            "image/svg+xml": self.picture.svg.decode(),
            "text/plain": "\n".join([self.picture.alt, *(f"{name}: {value}" for name, value in self.rows)]),
        }


def show_capture(file: str, channel: int | None = None) -> Shown:
    """A capture drawn and measured; `channel` (from 1) limits what is measured. Raises AskError."""
    path = _file(file)
    summary = summary_of(path)
    if summary.error is not None:
        raise AskError(f"'{file}' is no capture: {summary.error} {summary.error.suggestion}")
    if channel is not None and not 1 <= channel <= len(summary.channels):
        raise AskError(f"'{file}' has no channel {channel}; it has 1 to {len(summary.channels)}.")
    waveform = Waveform(path.stem, Point(""), None, Place(file), capture=path.name)
    try:
        return Shown(draw_capture(waveform, path, summary), _measured(summary, channel))
    except (CaptureError, OSError) as error:
        raise AskError(f"'{file}' cannot be drawn: {error}") from error


def show_circuit(series: str = "", code: str = "") -> Shown:
    """The circuit of a chapter on a series (the first, if left out). Raises AskError."""
    book, chapter = chapter_here(code)
    pictures, problems = draw_circuit(circuit_of(book, chapter, series_asked(book, chapter, series)[0]))
    if not pictures:
        raise AskError(problems[0].message if problems else f"The chapter {chapter.code} has no circuit to draw.")
    return Shown(pictures[0])


def _file(file: str) -> Path:
    folders = [Path.cwd()]
    folder = manual_above(Path.cwd())
    if folder is not None:
        folders += [folder, folder / "figures"]
    for start in folders:
        if (start / file).is_file():
            return start / file
    known = [path.relative_to(folder).as_posix() for path in sorted((folder / "figures").rglob("*"))] if folder else []
    raise AskError(unknown("file", file, known))


def _measured(summary: Summary, channel: int | None) -> tuple[tuple[str, str], ...]:
    """Every measured value with its words; with the channel's name before it if there are several."""
    rows = []
    for number, found in enumerate(summary.channels, 1):
        if channel in (None, number):
            name = f"{found.name}: " if len(summary.channels) > 1 else ""
            rows += [
                (f"{name}{MEASUREMENTS[key].words}", show_measured(key, value, found.dimension))
                for key, value in found.values.items()
            ]
    return tuple(rows)
