"""From text to Quantity."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache

from authorkit.units.error import UnitError, quote
from authorkit.units.gauge import read_gauge
from authorkit.units.hints import COMMA, decimal_comma, example_unit, explain, wanted
from authorkit.units.lettercode import read_letter_code
from authorkit.units.quantity import Quantity, Tolerance
from authorkit.units.rows import PRECISE
from authorkit.units.show import as_typed
from authorkit.units.table import BY_SPELLING, BY_SYMBOL, DIMENSIONS
from authorkit.units.text import NUMBER, one_form, read_number

_GAUGE = re.compile(r"(?:AWG|awg) ?([0-9/]{1,4})\Z|([0-9]/0) ?(?:AWG|awg|ga|gauge)\Z")
_UNIT_LAST = re.compile(rf"\(?({NUMBER.pattern}) ?± ?({NUMBER.pattern}) ?\)? ?(.*)\Z")


def parse_quantity(text: str, dimension: str | None = None) -> Quantity:
    """Read '4.5 V', '2.2 kohm +- 1 %', '18 AWG' or '2k2 Ω'; `dimension` is a key of DIMENSIONS.

    Raises UnitError, and nothing else, for any other text; never guesses a unit and never evaluates.
    """
    check_dimension(dimension)
    return _parse(text, dimension)


def check_dimension(dimension: str | None) -> None:
    """Refuse a dimension that the table does not have."""
    if dimension is not None and dimension not in DIMENSIONS:
        raise UnitError(f"the dimension {quote(dimension)}", f"one of {', '.join(DIMENSIONS)}")


# The key is the text as typed: '4.50 V' and '4.5 V' are equal quantities that print differently.
@lru_cache(maxsize=8192)
def _parse(text: str, dimension: str | None) -> Quantity:
    """Read one text, remembering the answer; quantities are frozen, so sharing one is safe."""
    line = one_form(text, wanted(dimension))
    if COMMA.search(line):
        raise decimal_comma(line, lambda each: as_typed(_parse(each, dimension)))
    head, sign, tail = line.partition("±")
    return _with_tolerance(head.strip(), tail.strip(), dimension) if sign else _measure(line, dimension)


def _measure(text: str, dimension: str | None) -> Quantity:
    """Read a number and a unit, or one of the two other notations."""
    number = NUMBER.match(text)
    if number:
        unit = BY_SPELLING.get(text[number.end() :].strip())
        if unit is not None and (dimension is None or unit.dimension == dimension):
            value = read_gauge(number[0]) if unit.symbol == "AWG" else read_number(number[0])
            if value is not None:
                return Quantity(value, unit.symbol)
    other = _gauge_first(text, dimension) or read_letter_code(text, dimension)
    if other is None:
        raise explain(text, dimension)
    return Quantity(*other)


def _gauge_first(text: str, dimension: str | None) -> tuple[Decimal, str] | None:
    """Read 'AWG 18' and '2/0 AWG'."""
    gauge = _GAUGE.match(text)
    number = read_gauge(gauge[1] or gauge[2]) if gauge and dimension in (None, "area") else None
    return None if number is None else (number, "AWG")


def _with_tolerance(head: str, tail: str, dimension: str | None) -> Quantity:
    """Read both sides of the plus-minus sign."""
    _check_units(head, tail, dimension)
    quantity = _measure(head, dimension)
    number = NUMBER.fullmatch(tail)
    if number:
        start = f"{as_typed(quantity)} ± {number[0]}"
        found = f"the tolerance {quote('± ' + tail)} without a unit"
        raise UnitError(found, "a unit after each number", f"{start} {quantity.unit}", f"{start} %")
    return Quantity(quantity.value, quantity.unit, _tolerance(_measure(tail, None), quantity))


def _tolerance(band: Quantity, quantity: Quantity) -> Tolerance:
    """Make a tolerance of what follows the sign: percentages are relative, but points of a percentage."""
    if band.dimension != "ratio" or quantity.dimension == "ratio":
        return Tolerance(absolute=band)
    if band.unit == "%":
        return Tolerance(relative=band.value)
    return Tolerance(relative=PRECISE.multiply(band.value, BY_SYMBOL[band.unit].factor).scaleb(2).normalize())


def _check_units(head: str, tail: str, dimension: str | None) -> None:
    """Refuse '5 ± 0.1 V' and '(5 ± 0.1) V', where the first number has no unit of its own."""
    both = _UNIT_LAST.match(f"{head} ± {tail}")
    if both is None:
        return
    value, half, typed = both.groups()
    unit = BY_SPELLING.get(typed)
    suggestion = []
    if unit and unit.dimension != "ratio":
        suggestion = [f"{value} {unit.symbol} ± {half} {unit.symbol}"]
    elif unit and dimension:
        suggestion = [f"{value} {example_unit(dimension)} ± {half} {unit.symbol}"]
    raise UnitError(f"{quote(head)} without a unit before '±'", "a unit after each number", *suggestion)
