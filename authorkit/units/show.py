"""Quantities, limits and windows in print, in plain ASCII, and as an author would type them.

Style: SI Brochure 5.4.3 and 5.4.7 (a space between number and unit, before % and °C too, none before the
degree of an angle), NIST SP 811 section 7.7 (the unit belongs to every number: '4.9 V to 5.1 V',
'60 Ω ± 5 Ω'; from memory), ISO 80000-1 (decimals grouped with nothing, a true minus; from memory).
The space is U+202F, narrow and not breaking.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from authorkit.units.gauge import write_gauge
from authorkit.units.quantity import Quantity, Tolerance
from authorkit.units.table import BY_SYMBOL
from authorkit.units.window import Bound, Window


@dataclass(frozen=True)
class _Style:
    """The signs one way of writing uses."""

    space: str
    plus_minus: str
    minus: str
    battery: str
    ascii_units: bool = False


_PRINT = _Style("\u202f", "\u00a0±\u00a0", "\u2212", "battery voltage")
_PLAIN = _Style(" ", " +- ", "-", "battery voltage", ascii_units=True)
_TYPED = _Style(" ", " ± ", "-", "battery")


def show(item: Quantity | Bound | Window) -> str:
    """Write for the printed page: '2.2 kΩ ± 1 %' with narrow no-break spaces; a range repeats its unit."""
    return _write(item, _PRINT)


def show_plain(item: Quantity | Bound | Window) -> str:
    """Write in ASCII, for search keys and file names: '2.2 kohm +- 1 %'. It can be parsed again."""
    return _write(item, _PLAIN)


def as_typed(item: Quantity | Bound | Window) -> str:
    """Write as an author would type it, for suggestions: '2.2 kΩ ± 1 %' with ordinary spaces."""
    return _write(item, _TYPED)


def _write(item: Quantity | Bound | Window, style: _Style) -> str:
    """Write any of the three kinds."""
    if isinstance(item, Quantity):
        return _quantity(item, style)
    return _bound(item, style) if isinstance(item, Bound) else _window(item, style)


def _quantity(quantity: Quantity, style: _Style) -> str:
    """Write value, unit and tolerance."""
    number = write_gauge(quantity.value) if quantity.unit == "AWG" else _number(quantity.value, style)
    text = _with_unit(number, quantity.unit, style)
    return text if quantity.tolerance is None else text + style.plus_minus + _tolerance(quantity.tolerance, style)


def _tolerance(tolerance: Tolerance, style: _Style) -> str:
    """Write what follows the plus-minus sign."""
    if tolerance.absolute is not None:
        return _quantity(tolerance.absolute, style)
    assert tolerance.relative is not None  # one of the two is always there
    return _with_unit(_number(tolerance.relative, style), "%", style)


def _number(value: Decimal, style: _Style) -> str:
    """Write a number with its decimals as typed and never an exponent; zero has no sign."""
    text = format(value, "f")
    return text.replace("-", style.minus if value else "")


def _with_unit(number: str, symbol: str, style: _Style) -> str:
    """Join number and unit."""
    if style.ascii_units:
        return f"{number}{style.space}{BY_SYMBOL[symbol].plain}"
    return number + symbol if symbol == "°" else f"{number}{style.space}{symbol}"


def _bound(bound: Bound, style: _Style) -> str:
    """Write a limit; one relative to the battery in words, so that no sign is lost on a bad print."""
    if bound.of is None:
        return _quantity(bound.offset, style)
    if bound.offset == Quantity(Decimal(0), "V"):
        return style.battery
    word = "minus" if bound.offset.value < 0 else "plus"
    size = Quantity(bound.offset.value.copy_abs(), bound.offset.unit)
    return f"{style.battery} {word} {_quantity(size, style)}"


def _window(window: Window, style: _Style) -> str:
    """Write a window as stated, as a range, or with the words below, above, at most and at least."""
    if window.stated is not None:
        return _quantity(window.stated, style)
    low = window.low and _bound(window.low, style)
    high = window.high and _bound(window.high, style)
    if low and high and window.low_inclusive and window.high_inclusive:
        return f"{low} to {high}"
    parts = []
    if low:
        parts.append(f"{'at least' if window.low_inclusive else 'above'} {low}")
    if high:
        parts.append(f"{'at most' if window.high_inclusive else 'below'} {high}")
    return " and ".join(parts)
