"""What a page says of the computed readings: in words, each series once where they agree."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import TypeVar

from authorkit.circuit.faults import Fault
from authorkit.circuit.measurement import Reading
from authorkit.circuit.reading_words import limit_words, with_unit
from authorkit.circuit.study import Question, Study, spec_question
from authorkit.manual.blocks import Inline, Inlines, LineBreak, Text
from authorkit.manual.scope import Scope
from authorkit.model.specification import Spec
from authorkit.model.wiring import applies
from authorkit.units import Window

Told = TypeVar("Told", bound=Hashable)

MARKS: Mapping[str, tuple[str, str]] = {
    "grid": ("†", "swept in steps, as one setting moves several values at once"),
    "corners": ("*", "at every corner of the tolerances, as the circuit is not linear"),
    "ascent": ("‡", "at the corners of the tolerances that a search led to"),
}
"""The sign behind limits that are not proven, by their basis, and what it says below the table."""

VERDICTS = ("sets", "may set", "not computed", "does not set")
"""Whether a code sets with a fault, the strongest of its conditions first."""


def questions_of(scope: Scope, spec: Spec) -> dict[str, Question]:
    """What a spec asks, by the series that it holds on."""
    found = {
        series: spec_question(wiring, spec) for series, wiring in scope.circuits.items() if applies(spec.series, series)
    }
    return {
        series: question
        for series, question in found.items()
        if question is not None and scope.study(series).reading(question) is not None
    }


def verdict(study: Study, fault: str) -> str:
    """Whether the code sets with a fault ('' for none): one of VERDICTS."""
    told = {setting.sets for setting in study.settings.get(fault, ())}
    return next((each for each in VERDICTS if each in told), "not computed")


def may_set(study: Study) -> tuple[Fault, ...]:
    """The faults that may set the code; all of them where that cannot be computed."""
    return tuple(fault for fault in study.faults if study.may_set(fault.id))


def is_computed(study: Study) -> bool:
    """Whether it is known of some fault that it sets the code or does not."""
    return any(setting.sets != "not computed" for fault in study.faults for setting in study.settings[fault.id])


def window_words(reading: Reading, window: Window) -> str:
    """The limits of a reading as those of the window it is held against: absolute, or relative to the battery."""
    if is_relative(window) and reading.over_battery is not None:
        return relative_words(*reading.over_battery)
    return limit_words(reading)


def is_relative(window: Window) -> bool:
    """Whether a window is one around the battery voltage."""
    return any(bound is not None and bound.of is not None for bound in (window.low, window.high))


def relative_words(low: float, high: float) -> str:
    """'battery minus 0.07 V to plus 0.05 V'."""
    return f"battery {_signed(low)} to {_signed(high)}"


def _signed(volts: float) -> str:
    return f"{'minus' if volts < 0 else 'plus'} {with_unit(abs(volts), 'V')}"


def alike(by_series: Mapping[str, Told]) -> list[tuple[tuple[str, ...], Told]]:
    """What is told of each series, equal ones together."""
    found: dict[Told, list[str]] = {}
    for series, told in by_series.items():
        found.setdefault(told, []).append(series)
    return [(tuple(series), told) for told, series in found.items()]


def series_lines(by_series: Mapping[str, str], every: Iterable[str]) -> Inlines:
    """One line where all series say the same, else one for each that differs: 'A: 2.4 V'."""
    together = alike(by_series)
    if len(together) == 1 and set(together[0][0]) == set(every):
        return (Text(together[0][1]),)
    pieces: list[Inline] = []
    for series, told in together:
        pieces += [LineBreak()] if pieces else []
        pieces.append(Text(f"{', '.join(series)}: {told}"))
    return tuple(pieces)


def range_words(readings: Sequence[Reading], window: Window, sound: Reading) -> str:
    """The range that several readings cover, told so that it can be held against a window."""
    if readings[0].low is None:
        return limit_words(readings[0])
    unit = readings[0].unit
    low, high = _span([(reading.low, reading.high) for reading in readings])
    over = [reading.over_battery for reading in readings if reading.over_battery is not None]
    near = sound.low is not None and sound.high is not None and low <= sound.high and high >= sound.low
    if is_relative(window) and near and len(over) == len(readings):
        return relative_words(*_span(over))
    first, last = with_unit(low, unit), with_unit(high, unit)
    return first if first == last else f"{first} to {last}"


def _span(limits: Sequence[tuple[float | None, float | None]]) -> tuple[float, float]:
    return min(low for low, _ in limits if low is not None), max(high for _, high in limits if high is not None)
