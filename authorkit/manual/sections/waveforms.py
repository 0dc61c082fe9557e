"""What an oscilloscope must show."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from authorkit.checks.prose.figure_files import FIGURES, is_outside, normal
from authorkit.drawing.capture import draw_capture, value_words
from authorkit.drawing.picture import Picture
from authorkit.drawing.store import Drawn
from authorkit.drawing.waveform import draw_waveform
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Figure, Heading, Inlines, Table, words
from authorkit.manual.phrases import between_words, state_words
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS
from authorkit.model.specification import Waveform
from authorkit.problems import Problem
from authorkit.signals.summary import Summary, summary_of
from authorkit.units import show


def waveforms(scope: Scope) -> Iterator[Block | Problem]:
    """For each signal: where the probe goes, the expected trace, the capture, the limits and what was measured."""
    if not scope.chapter.waveforms:
        return
    yield Heading(2, SECTIONS["waveforms"], inside(scope.code, "section", "waveforms"))
    for waveform in scope.chapter.waveforms:
        yield from _figure(waveform, scope)
    yield from _limits(scope)


def _figure(waveform: Waveform, scope: Scope) -> Iterator[Block | Problem]:
    """The expected picture, the capture, or both; a reference to the waveform leads to the first of them."""
    where = between_words(waveform.at, waveform.to, scope.harness, scope.chapter)
    state = f" State: {state_words(waveform.state)}." if waveform.state else ""
    series = scope.series_words(waveform.series)
    limited = f" Series {series}." if series else ""
    anchor = inside(scope.code, "figure", waveform.name)
    if waveform.shape:
        drawn, problems = scope.shared.store.pictures("waveform", waveform, partial(_drawn, waveform))
        yield from problems
        caption = f"{waveform.name}: oscilloscope, {where}.{state}{limited}"
        yield from _figures(drawn, caption, anchor)
    capture = _capture(waveform, scope)
    if capture is not None:
        path, summary = capture
        facts = (waveform, summary.digest)
        drawn, _ = scope.shared.store.pictures("capture", facts, partial(_drawn_capture, waveform, path, summary))
        caption = f"{waveform.name}: capture, {where}.{state}{limited}"
        yield from _figures(drawn, caption, inside(scope.code, "capture", waveform.name) if waveform.shape else anchor)


def _figures(pictures: tuple[Picture, ...], caption: str, anchor: str) -> Iterator[Figure]:
    for picture in pictures:
        yield Figure(caption, picture.svg, "svg", picture.alt, picture.width_mm, picture.height_mm, anchor)


def _drawn(waveform: Waveform) -> Drawn:
    picture, problems = draw_waveform(waveform)
    return (picture,) if picture else (), problems


def _drawn_capture(waveform: Waveform, path: Path, summary: Summary) -> Drawn:
    return (draw_capture(waveform, path, summary),), ()


def _capture(waveform: Waveform, scope: Scope) -> tuple[Path, Summary] | None:
    """The file of a waveform's capture and what it says; None where the checks refuse it and say why."""
    folder = scope.book.folder
    name = normal(waveform.capture) if waveform.capture and not is_outside(folder, waveform.capture) else None
    if name is None:
        return None
    path = folder / FIGURES / name
    try:
        summary = summary_of(path, waveform.channels)
    except OSError:
        return None
    return None if summary.error else (path, summary)


def _limits(scope: Scope) -> Iterator[Table]:
    """The author's limits; beside them what was measured, if any of the signals has a capture."""
    rows: list[tuple[Inlines, ...]] = []
    captures = {waveform.name: _capture(waveform, scope) for waveform in scope.chapter.waveforms}
    compared = any(captures.values())
    for waveform in scope.chapter.waveforms:
        for name, window in waveform.limits:
            row = (words(waveform.name), words(name), words(show(window)))
            rows.append((*row, words(_value(name, captures[waveform.name]))) if compared else row)
    columns = ("Signal", "Measured value", "Limits", *(("In the capture",) if compared else ()))
    if rows:
        yield Table("Limits of the waveforms", columns, tuple(rows), inside(scope.code, "table", "waveforms"))


def _value(name: str, capture: tuple[Path, Summary] | None) -> str:
    """What the capture of a signal says for a limit; '–' where it says nothing."""
    return (value_words(capture[1], name) if capture else "") or "–"
