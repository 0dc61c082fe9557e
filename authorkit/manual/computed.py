"""What a page says of the computed readings: in words, each series once where they agree."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import TypeVar

from authorkit.circuit.fault_words import said_words, sayings
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


def faults_by_series(by_series: Mapping[str, Sequence[Fault]], scope: Scope) -> str:
    """Faults in few words: those of all the series first, then what each series has of its own."""
    said = {series: sayings(faults, scope.study(series).faults) for series, faults in by_series.items()}
    common = frozenset.intersection(*map(frozenset, said.values())) if said else frozenset()
    first = next(iter(said.values()), ())
    pieces = [said_words(each for each in first if each in common)]
    own = {series: said_words(each for each in told if each not in common) for series, told in said.items()}
    pieces += [f"On Series {series}: {told}" for series, told in own.items() if told]
    return ". ".join(piece for piece in pieces if piece)


def range_words(readings: Sequence[Reading], window: Window, sound: Sequence[Reading]) -> str:
    """The range that several readings cover, told so that it can be held against a window."""
    if readings[0].low is None:
        return limit_words(readings[0])
    low, high = _span([(reading.low, reading.high) for reading in readings])
    over = [reading.over_battery for reading in readings if reading.over_battery is not None]
    near = any(
        each.low is not None and each.high is not None and low <= each.high and high >= each.low for each in sound
    )
    if is_relative(window) and near and len(over) == len(readings):
        return relative_words(*_span(over))
    return short_range(low, high, readings[0].unit)


def short_range(low: float, high: float, unit: str) -> str:
    """Limits in three digits, rounded outward; '0 V' for what lies within 10 mV of it."""
    if unit in ("V", "A") and max(abs(low), abs(high)) <= NOUGHT:
        return with_unit(0.0, unit)
    first, last = with_unit(_outward(low, -1), unit), with_unit(_outward(high, 1), unit)
    return first if first == last else f"{first} to {last}"


NOUGHT = 0.0101  # V or A: two digits of a workshop meter, and what sound grounds drop


def _outward(value: float, way: int) -> float:
    """To three digits, away from the other limit."""
    if value == 0 or not math.isfinite(value):
        return value
    step = Decimal(1).scaleb(Decimal(repr(value)).adjusted() - 2)
    rounding = ROUND_FLOOR if way < 0 else ROUND_CEILING
    return float(Decimal(repr(value)).quantize(step, rounding=rounding))


def _span(limits: Sequence[tuple[float | None, float | None]]) -> tuple[float, float]:
    return min(low for low, _ in limits if low is not None), max(high for _, high in limits if high is not None)
