"""A quantity as the author typed it, with its tolerance, and its value in base units."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from authorkit.units.error import UnitError, quote, with_article
from authorkit.units.gauge import gauge_area, is_gauge
from authorkit.units.rows import PRECISE
from authorkit.units.table import BY_SYMBOL, Unit

_LARGEST_EXPONENT = 60  # far beyond what the parser takes, so that a worked-out end of a tolerance never fails


@dataclass(frozen=True)
class Tolerance:
    """Half the width of a band: exactly one of `relative` (in per cent of the value) and `absolute`.

    Raises UnitError when negative, above 100 %, or given both ways.
    """

    relative: Decimal | None = None
    absolute: Quantity | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be a tolerance."""
        if (self.relative is None) == (self.absolute is None):
            raise UnitError("a tolerance that is not one of relative and absolute", "exactly one of the two")
        if self.relative is not None and not (self.relative.is_finite() and 0 <= self.relative <= 100):
            raise UnitError(f"a tolerance of {self.relative} %", "a tolerance from 0 % to 100 %")
        if self.absolute is not None:
            _check_absolute(self.absolute)


@dataclass(frozen=True)
class Quantity:
    """A value in the unit it was typed in; '2.2 kΩ' and '2200 Ω' differ as facts and agree in `base`.

    value: the number as typed, so Decimal('4.50') still shows two decimals.
    unit: a symbol of the table ('kΩ', 'mm²', 'AWG', '°C'). A gauge of 2/0 AWG has the value −1.
    Raises UnitError for an unknown symbol, a number that is not finite, or a tolerance that does not fit.
    """

    value: Decimal
    unit: str
    tolerance: Tolerance | None = None

    def __post_init__(self) -> None:
        """Refuse what no text could have produced."""
        if self.unit not in BY_SYMBOL:
            raise UnitError(f"the unit {quote(self.unit)}", "a symbol of the unit table, such as 'V' or 'kΩ'")
        if not self.value.is_finite() or abs(self.value.adjusted()) > _LARGEST_EXPONENT:
            raise UnitError(f"the number {self.value}", "a number a meter or a drawing could show")
        if self.unit == "AWG" and not is_gauge(self.value):
            raise UnitError(f"the wire gauge {self.value:f} AWG", "a whole gauge from 4/0 AWG to 40 AWG")
        if self.tolerance is not None:
            _check_fit(self, self.tolerance)

    @property
    def dimension(self) -> str:
        """What is measured: 'voltage', 'resistance', 'time', ..."""
        return BY_SYMBOL[self.unit].dimension

    @property
    def base(self) -> float:
        """The value in the base unit of its dimension (V, Ω, s, m², 1 for a ratio, °C); no tolerance."""
        if self.unit == "AWG":
            return gauge_area(self.value)
        row = BY_SYMBOL[self.unit]
        return float(PRECISE.fma(self.value, row.factor, row.offset))

    @property
    def low(self) -> float:
        """The smallest value within the tolerance, in base units."""
        return self.limits()[0].base

    @property
    def high(self) -> float:
        """The largest value within the tolerance, in base units."""
        return self.limits()[1].base

    def limits(self) -> tuple[Quantity, Quantity]:
        """Both ends of the tolerance, in the unit typed; the quantity itself twice when it has none."""
        if self.tolerance is None:
            return self, self
        half = _half_width(self, self.tolerance)
        ends = PRECISE.subtract(self.value, half), PRECISE.add(self.value, half)
        return _computed(ends[0], self.unit), _computed(ends[1], self.unit)


def _computed(value: Decimal, unit: str) -> Quantity:
    """A quantity that was worked out, so trailing zeros say nothing and are dropped."""
    return Quantity(PRECISE.create_decimal(format(value.normalize(PRECISE), "f")), unit)


def _half_width(quantity: Quantity, tolerance: Tolerance) -> Decimal:
    """The tolerance in the unit of the quantity."""
    if tolerance.absolute is None:
        assert tolerance.relative is not None  # one of the two is always there
        return PRECISE.multiply(quantity.value.copy_abs(), tolerance.relative.scaleb(-2))
    # A difference of temperatures scales by the factor alone, hence never through `base`.
    span = PRECISE.multiply(tolerance.absolute.value, BY_SYMBOL[tolerance.absolute.unit].factor)
    return PRECISE.divide(span, BY_SYMBOL[quantity.unit].factor)


def _check_absolute(absolute: Quantity) -> None:
    """Refuse an absolute tolerance that is negative, a wire gauge, or has a tolerance of its own."""
    if absolute.unit == "AWG":
        raise UnitError("a tolerance in AWG", "a wire gauge without a tolerance")
    if absolute.value < 0:
        raise UnitError(f"the negative tolerance {absolute.value:f} {absolute.unit}", "a tolerance of zero or more")
    if absolute.tolerance is not None:
        raise UnitError("a tolerance that has a tolerance", "one tolerance")


def _check_fit(quantity: Quantity, tolerance: Tolerance) -> None:
    """Refuse a tolerance that says nothing definite about this quantity."""
    row = BY_SYMBOL[quantity.unit]
    if quantity.unit == "AWG":
        raise UnitError("a wire gauge with a tolerance", "a wire gauge alone, such as '18 AWG'")
    if tolerance.absolute is not None and not _measures_difference(tolerance.absolute, row):
        typed = quote(f"{tolerance.absolute.value:f} {tolerance.absolute.unit}")
        found = f"{with_article(tolerance.absolute.dimension)} ({typed}) as the tolerance of"
        raise UnitError(f"{found} {with_article(row.dimension)}", f"a tolerance in {row.symbol}")
    if tolerance.relative is not None and row.dimension == "temperature":
        half = PRECISE.multiply(quantity.value.copy_abs(), tolerance.relative.scaleb(-2))
        raise UnitError(
            "a percentage of a temperature, whose zero is only a convention",
            "a tolerance in degrees",
            f"{quantity.value:f} {row.symbol} ± {half.normalize():f} {row.symbol}",
        )
    if tolerance.relative is not None and row.dimension == "ratio":
        # '80 % ± 5 %' is read as 75 % to 85 %, so a relative tolerance could not be told apart in print.
        raise UnitError("a relative tolerance of a ratio", f"a tolerance in points, such as '± 5 {row.symbol}'")


def _measures_difference(tolerance: Quantity, row: Unit) -> bool:
    """Say whether the tolerance can be added to a quantity in this unit; kelvins go with temperatures."""
    allowed = (row.dimension, "temperature difference") if row.dimension == "temperature" else (row.dimension,)
    return tolerance.dimension in allowed
