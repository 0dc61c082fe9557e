"""Limits and windows: what a reading is compared with."""

from __future__ import annotations

from dataclasses import dataclass, field

from authorkit.units.error import UnitError, quote, with_article
from authorkit.units.quantity import Quantity


@dataclass(frozen=True)
class Bound:
    """One limit: a quantity (`of` is None), or the battery voltage plus a voltage (`of` is 'battery').

    Raises UnitError for another reference, a limit with a tolerance, or an offset that is no voltage.
    """

    of: str | None
    offset: Quantity

    def __post_init__(self) -> None:
        """Refuse a limit that is not one sharp value."""
        if self.of not in (None, "battery"):
            raise UnitError(f"a limit relative to {quote(self.of or '')}", "a limit relative to 'battery'")
        if self.offset.tolerance is not None:
            raise UnitError("a limit with a tolerance", "a limit that is one value, such as '4.9 V'")
        if self.of and self.offset.dimension != "voltage":
            found = with_article(self.offset.dimension)
            raise UnitError(f"{found} added to the battery voltage", "a voltage, as in 'battery minus 0.3 V'")

    @property
    def dimension(self) -> str:
        """What is measured; a battery limit is a voltage."""
        return self.offset.dimension

    def resolve(self, battery: float | None = None) -> float:
        """The limit in base units, from the battery voltage in V; ValueError when that is missing."""
        if self.of is None:
            return self.offset.base
        if battery is None:
            raise ValueError("this limit is relative to the battery; the battery voltage is needed")
        return battery + self.offset.base


@dataclass(frozen=True)
class Window:
    """The readings that count as good, or that take one branch of a step; None is no limit on that side.

    stated: the quantity with tolerance it was typed as ('5 V ± 2 %'), kept so that it prints that way.
    Raises UnitError for no limit at all, two dimensions, or a lower limit above the upper one.
    """

    low: Bound | None
    high: Bound | None
    low_inclusive: bool = True
    high_inclusive: bool = True
    stated: Quantity | None = field(default=None, kw_only=True)

    def __post_init__(self) -> None:
        """Refuse a window nothing can be in, and settle the flag of a side that has no limit."""
        if self.low is None and self.high is None:
            raise UnitError("a window without any limit", "a lower limit, an upper limit or both")
        if self.low and self.high and self.low.dimension != self.high.dimension:
            found = f"{with_article(self.low.dimension)} to {with_article(self.high.dimension)}"
            raise UnitError(found, "two limits of the same kind")
        if leaves_nothing(self.low, self.high, self.low_inclusive and self.high_inclusive):
            raise UnitError("a window whose lower limit is not below its upper limit", "the lower limit first")
        object.__setattr__(self, "low_inclusive", self.low is not None and self.low_inclusive)
        object.__setattr__(self, "high_inclusive", self.high is not None and self.high_inclusive)

    @property
    def dimension(self) -> str:
        """What is measured."""
        bound = self.low or self.high
        assert bound is not None  # a window has at least one limit
        return bound.dimension

    @property
    def is_battery_relative(self) -> bool:
        """Say whether `contains` needs the battery voltage."""
        return any(bound is not None and bound.of == "battery" for bound in (self.low, self.high))

    def contains(self, value: float, battery: float | None = None) -> bool:
        """Say whether a reading in base units lies in the window (battery in V); NaN lies in none.

        Raises ValueError when the window is relative to the battery and no battery voltage is given.
        """
        above = self.low is None or _beyond(value, self.low.resolve(battery), self.low_inclusive)
        below = self.high is None or _beyond(self.high.resolve(battery), value, self.high_inclusive)
        return above and below

    def nominal(self, battery: float | None = None) -> float | None:
        """The value aimed at, in base units: the one before '±', else the middle.

        None when one side is open, or when the battery voltage is needed and not given.
        """
        if self.stated is not None:
            return self.stated.base
        if self.low is None or self.high is None or (self.is_battery_relative and battery is None):
            return None
        return (self.low.resolve(battery) + self.high.resolve(battery)) / 2

    def overlaps(self, other: Window, battery: float | None = None) -> bool:
        """Say whether one reading could lie in both windows; windows of two dimensions share none.

        Raises ValueError when the answer depends on a battery voltage that is not given.
        """
        if self.dimension != other.dimension:
            return False
        return _reaches(self, other, battery) and _reaches(other, self, battery)


def window_of(quantity: Quantity) -> Window:
    """The window of a quantity with tolerance, both ends included: '5 V ± 2 %' is 4.9 V to 5.1 V."""
    low, high = quantity.limits()
    return Window(Bound(None, low), Bound(None, high), stated=quantity)


def leaves_nothing(low: Bound | None, high: Bound | None, both_inclusive: bool) -> bool:
    """Say whether no reading fits between two limits; with different references that stays open."""
    if low is None or high is None or low.of != high.of:
        return False
    gap = high.offset.base - low.offset.base
    return gap < 0 or (gap == 0 and not both_inclusive)


def _beyond(value: float, limit: float, inclusive: bool) -> bool:
    """Say whether the value is on the far side of the limit."""
    return value >= limit if inclusive else value > limit


def _reaches(one: Window, other: Window, battery: float | None) -> bool:
    """Say whether the top of one window reaches the bottom of the other."""
    if one.high is None or other.low is None:
        return True
    inclusive = one.high_inclusive and other.low_inclusive
    return _beyond(one.high.resolve(battery), other.low.resolve(battery), inclusive)
