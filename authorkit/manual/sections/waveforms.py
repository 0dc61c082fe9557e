"""What an oscilloscope must show."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from authorkit.drawing.store import Drawn
from authorkit.drawing.waveform import draw_waveform
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Figure, Heading, Inlines, Table, words
from authorkit.manual.phrases import between_words, state_words
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS
from authorkit.model.specification import Waveform
from authorkit.problems import Problem
from authorkit.units import show


def waveforms(scope: Scope) -> Iterator[Block | Problem]:
    """For each signal: where the probe goes, the trace, and the measured values with their limits."""
    if not scope.chapter.waveforms:
        return
    yield Heading(2, SECTIONS["waveforms"], inside(scope.code, "section", "waveforms"))
    for waveform in scope.chapter.waveforms:
        yield from _figure(waveform, scope)
    limits = [row for waveform in scope.chapter.waveforms for row in _limits(waveform)]
    if limits:
        columns = ("Signal", "Measured value", "Limits")
        yield Table("Limits of the waveforms", columns, tuple(limits), inside(scope.code, "table", "waveforms"))


def _figure(waveform: Waveform, scope: Scope) -> Iterator[Block | Problem]:
    if not waveform.shape:
        return
    where = between_words(waveform.at, waveform.to, scope.harness, scope.chapter)
    state = f" State: {state_words(waveform.state)}." if waveform.state else ""
    series = scope.series_words(waveform.series)
    limited = f" Series {series}." if series else ""
    pictures, problems = scope.shared.store.pictures("waveform", waveform, partial(_drawn, waveform))
    yield from problems
    for picture in pictures:
        yield Figure(
            f"{waveform.name}: oscilloscope, {where}.{state}{limited}",
            picture.svg,
            "svg",
            picture.alt,
            picture.width_mm,
            picture.height_mm,
            inside(scope.code, "figure", waveform.name),
        )


def _drawn(waveform: Waveform) -> Drawn:
    picture, problems = draw_waveform(waveform)
    return (picture,) if picture else (), problems


def _limits(waveform: Waveform) -> Iterator[tuple[Inlines, ...]]:
    for name, window in waveform.limits:
        yield words(waveform.name), words(name), words(show(window))
