"""Windows as stretches of the number line, for comparing the answers of a step."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from authorkit.model.book import Book
from authorkit.units import Bound, Window, as_typed

# A rested, full 12 V lead-acid battery (common practice); for limits that are relative to a battery nobody gives.
_USUAL_BATTERY = 12.6

# Dimensions that no meter shows below zero here; a voltage below zero is read as "next to nothing" in the bay.
_MAY_BE_NEGATIVE = ("temperature", "temperature difference", "angle")
_LARGEST = {"ratio": 1.0}


class Span(NamedTuple):
    """A window in base units; `low` and `high` are infinite where it has no limit. `window` is where it comes from."""

    low: float
    high: float
    low_inclusive: bool
    high_inclusive: bool
    window: Window


def battery_of(book: Book) -> float:
    """The battery voltage of the vehicle in V, or the usual one."""
    return book.vehicle.battery.base if book.vehicle.battery else _USUAL_BATTERY


def span_of(window: Window, battery: float) -> Span:
    """A window as a span; limits relative to the battery are taken at `battery` (V)."""
    low = window.low.resolve(battery) if window.low else -inf
    high = window.high.resolve(battery) if window.high else inf
    return Span(low, high, window.low_inclusive, window.high_inclusive, window)


@dataclass(frozen=True)
class Shared:
    """The readings that two windows share: their limits, None on a side without one."""

    low: Bound | None
    high: Bound | None

    @property
    def words(self) -> str:
        """As part of a sentence: 'the readings from 4.5 V to 5 V'."""
        if self.low and self.high:
            return f"the readings from {as_typed(self.low)} to {as_typed(self.high)}"
        if self.low:
            return f"the readings above {as_typed(self.low)}"
        return f"the readings below {as_typed(self.high)}" if self.high else "every reading"


def common(first: Span, second: Span) -> Shared | None:
    """The readings in both windows; None if they share one limit at most."""
    lower, upper = max(first, second, key=lambda span: span.low), min(first, second, key=lambda span: span.high)
    return None if upper.high <= lower.low else Shared(lower.window.low, upper.window.high)


def gaps(spans: list[Span], dimension: str) -> list[str]:
    """The readings that no span holds, in words."""
    ordered = sorted(spans, key=lambda span: (span.low, not span.low_inclusive))
    found = []
    first = ordered[0]
    if first.window.low is not None and (first.low > 0 or dimension in _MAY_BE_NEGATIVE):
        found.append(_beyond("below", "at most", first.window.low, first.low_inclusive))
    top = first
    for span in ordered[1:]:
        if span.low > top.high:
            found.append(_between(top, span))
        elif span.low == top.high and not (span.low_inclusive or top.high_inclusive):
            assert span.window.low is not None  # a span with an open low side reaches everything below
            found.append(f"exactly {as_typed(span.window.low)}")
        if (span.high, span.high_inclusive) > (top.high, top.high_inclusive):
            top = span
    if top.window.high is not None and top.high < _LARGEST.get(dimension, inf):
        found.append(_beyond("above", "at least", top.window.high, top.high_inclusive))
    return found


def _beyond(word: str, inclusive_word: str, bound: Bound, inclusive: bool) -> str:
    return f"readings {word if inclusive else inclusive_word} {as_typed(bound)}"


def _between(top: Span, span: Span) -> str:
    assert top.window.high is not None
    assert span.window.low is not None
    return f"readings between {as_typed(top.window.high)} and {as_typed(span.window.low)}"
