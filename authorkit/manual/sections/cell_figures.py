"""What code cells showed when they were last run, as figures."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from xml.etree import ElementTree

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Code, FactList, Figure, Inline, LineBreak, words
from authorkit.manual.scope import Scope
from authorkit.manual.sections.notes import png_size
from authorkit.model.chapter import CellFigure
from authorkit.problems import Problem

_LENGTH = re.compile(r"([\d.]+)(mm|cm|in|pt|pc|px|)")
# Millimetres in a unit of length (CSS Values and Units 3, 6.2); a number alone counts pixels.
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96, "": 25.4 / 96}


def cell_figure(figure: CellFigure, scope: Scope) -> Iterator[Block | Problem]:
    """The figure, or a line in its place and the finding that says why the page goes without it."""
    anchor = inside(scope.code, "figure", figure.id)
    made = _figure(figure, scope, anchor)
    if isinstance(made, Problem):
        yield FactList(((figure.caption, words("Left out of this edition.")),), anchor)
    yield made


def _figure(figure: CellFigure, scope: Scope, anchor: str) -> Block | Problem:
    shown = scope.shared.shown_in(scope.chapter.file)
    if shown is None:
        return _not_run(figure)
    output = shown.get(figure.place.cell)
    if output is None:
        return _failed(
            f"The cell of the figure '{figure.id}' shows nothing that a page can hold.",
            "no picture and no text",
            figure,
        )
    if output.media == "text":
        return FactList(((figure.caption, _lines(output.data.decode("utf-8", "replace"))),), anchor)
    try:
        width, height = svg_size(output.data) if output.media == "svg" else png_size(output.data)
    except (ValueError, struct.error, ElementTree.ParseError):
        what = f"The picture that the cell of the figure '{figure.id}' shows cannot be read."
        return _failed(what, f"damaged {output.media.upper()}", figure)
    return Figure(figure.caption, output.data, output.media, figure.alt, width, height, anchor)


def _not_run(figure: CellFigure) -> Problem:
    return Problem(
        "cell-not-run",
        f"The figure '{figure.id}' is left out: its cell was not run since something it depends on changed.",
        figure.place,
        found="no output that fits",
        expected="what the cell shows with the present facts",
        suggestion="Run 'authorkit build --run'.",
    )


def _failed(message: str, found: str, figure: CellFigure) -> Problem:
    return Problem(
        "cell-failed",
        message,
        figure.place,
        found=found,
        expected="a picture (SVG or PNG) or a text as the value of the cell's last line",
        suggestion="End the cell with the picture or the value, or delete '#| figure:'.",
    )


def _lines(text: str) -> tuple[Inline, ...]:
    pieces: list[Inline] = []
    for line in text.splitlines():
        pieces += [Code(line), LineBreak()]
    return tuple(pieces[:-1])


def svg_size(data: bytes) -> tuple[float, float]:
    """Width and height in millimetres: as the root says, else those of its view box in pixels.

    Raises ValueError where it says neither, ElementTree.ParseError where it is no XML.
    """
    root = ElementTree.fromstring(data)
    box = [float(number) for number in root.get("viewBox", "").replace(",", " ").split()]
    sides = [_millimetres(root.get(name, "")) for name in ("width", "height")]
    width, height = (side or (box[2 + at] * _MM["px"] if len(box) == 4 else 0.0) for at, side in enumerate(sides))
    if width <= 0 or height <= 0:
        raise ValueError("no size")
    return width, height


def _millimetres(length: str) -> float:
    match = _LENGTH.fullmatch(length.strip())
    return float(match[1]) * _MM[match[2]] if match else 0.0
