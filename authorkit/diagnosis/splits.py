"""How a test shares out faults: windows between the groups of their readings, where no reading is cut."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from authorkit.circuit.measurement import Reading
from authorkit.diagnosis.answers import BELOW_ANY_BATTERY
from authorkit.units import Bound, UnitError, Window, format_value, parse_quantity

_DIMENSIONS = {"V": "voltage", "Ω": "resistance", "A": "current"}
# The end of a gap is kept clear of the readings by this part of the gap, so that rounding a limit cuts nothing.
_CLEAR = 0.2
# A gap so wide that the limit may stand close to the good readings; and the limit of a wire that conducts, in Ω.
_FAR, _GOOD_WIRE = 50.0, 2.0


@dataclass(frozen=True)
class Split:
    """The answers of a test in rising order, and the number of the answer that each fault brings, by its id.

    With a fault that is `barred` the test must not be done: the circuit is live then, or the reading is not known.
    """

    answers: tuple[tuple[str, Window], ...]
    outcomes: Mapping[str, int]
    barred: frozenset[str] = frozenset()


def split_of(readings: Mapping[str, Reading | None]) -> Split | None:
    """The finest split of faults by their readings; None where all of them lie together.

    A voltage is looked at as it is and over the battery; what gives more groups counts.
    """
    found = [split for relative in (False, True) if (split := _split(readings, relative=relative))]
    return max(found, key=lambda split: len(split.answers), default=None)


def _split(readings: Mapping[str, Reading | None], *, relative: bool) -> Split | None:
    ends = {fault: _ends(reading, relative=relative) for fault, reading in readings.items() if reading is not None}
    spans = [span for span in ends.values() if span is not None]
    unit = next((reading.unit for reading in readings.values() if reading is not None), "")
    if not spans:
        return None
    limits = [limit for gap in _gaps(spans) if (limit := _limit(gap, _DIMENSIONS[unit])) is not None]
    if not limits:
        return None
    bounds = [Bound("battery" if relative else None, parse_quantity(limit, _DIMENSIONS[unit])) for limit in limits]
    values = [bound.offset.base for bound in bounds]
    outcomes = {fault: sum(span[0] > value for value in values) for fault, span in ends.items() if span is not None}
    barred = frozenset(fault for fault in readings if fault not in outcomes)
    return Split(tuple(_answers(bounds)), outcomes, barred)


def _ends(reading: Reading, *, relative: bool) -> tuple[float, float] | None:
    if reading.unit not in _DIMENSIONS or (relative and reading.unit != "V"):
        return None
    if reading.status == "open":
        return math.inf, math.inf
    if reading.status == "floating" and reading.unit == "V":
        return BELOW_ANY_BATTERY if relative else (0.0, 0.0)
    if reading.low is None or reading.high is None:
        return None
    return reading.over_battery if relative else (reading.low, reading.high)


def _gaps(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The stretches between groups of readings that touch each other."""
    ordered = sorted(spans)
    gaps, top = [], ordered[0][1]
    for low, high in ordered[1:]:
        if low > top:
            gaps.append((top, low))
        top = max(top, high)
    return gaps


def _limit(gap: tuple[float, float], dimension: str) -> str | None:
    """A round value inside a gap, as an author writes it; None where the gap is too narrow for a meter to tell."""
    low, high = gap
    if not math.isfinite(high):
        high = max(abs(low) * 100, 1e5)
    width = high - low
    if dimension == "resistance" and high > _FAR * max(low, 1.0):
        return format_value(max(_GOOD_WIRE, float(f"{4 * low:.1g}")), dimension, 5)
    if width < {"voltage": 0.04, "resistance": 0.5, "current": 0.1}[dimension]:
        return None
    inner = (low + _CLEAR * width, high - _CLEAR * width)
    if inner[0] > 0 and inner[1] / inner[0] > 4:
        inner = (inner[0], inner[0] * 4)
    middle = (inner[0] + inner[1]) / 2
    for digits in range(7):
        value = round(middle, digits - max(0, math.floor(math.log10(abs(middle) or 1.0))))
        if low < value < high:
            try:
                return format_value(value, dimension, 5)
            except UnitError:
                return None
    return None


def _answers(bounds: Sequence[Bound]) -> list[tuple[str, Window]]:
    found = [(f"below {_words(bounds[0])}", Window(None, bounds[0], high_inclusive=False))]
    for low, high in pairwise(bounds):
        found.append((_between(low, high), Window(low, high)))
    return [*found, (f"above {_words(bounds[-1])}", Window(bounds[-1], None, low_inclusive=False))]


def _between(low: Bound, high: Bound) -> str:
    return f"{_words(low)} to {_words(high)}"


def _words(bound: Bound) -> str:
    offset = bound.offset
    if bound.of is None:
        return _plain(format_value(offset.base, offset.dimension, 5))
    sign = "minus" if offset.base < 0 else "plus"
    return f"battery {sign} {_plain(format_value(abs(offset.base), offset.dimension, 5))}"


def _plain(text: str) -> str:
    """With the hyphen-minus that authors type."""
    return text.replace("−", "-")
