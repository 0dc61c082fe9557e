"""From text to Bound: one limit of a window."""

from __future__ import annotations

import re
from decimal import Decimal

from authorkit.units.error import UnitError, quote
from authorkit.units.hints import wanted
from authorkit.units.quantity import Quantity
from authorkit.units.read_quantity import check_dimension, parse_quantity
from authorkit.units.text import one_form
from authorkit.units.window import Bound

_BATTERY = re.compile(r"battery(?: voltage)?(?: ?(minus|plus|-|\+) ?(.+))?\Z", re.IGNORECASE)


def parse_bound(text: str, dimension: str | None = None) -> Bound:
    """Read one limit: '4.9 V', 'battery', 'battery minus 0.3 V'; UnitError for anything else."""
    check_dimension(dimension)
    line = one_form(text, wanted(dimension))
    relative = _BATTERY.match(line)
    if relative is None:
        return Bound(None, parse_quantity(line, dimension))
    if dimension not in (None, "voltage"):
        raise UnitError(f"a voltage ({quote(line)})", wanted(dimension))
    return Bound("battery", _offset(relative))


def _offset(relative: re.Match[str]) -> Quantity:
    """The signed voltage after 'battery'."""
    if relative[2] is None:
        return Quantity(Decimal(0), "V")
    offset = parse_quantity(relative[2], "voltage")
    if offset.value < 0:
        raise UnitError(f"two signs in {quote(relative[0])}", "one sign, as in 'battery minus 0.3 V'")
    negative = relative[1].lower() in ("minus", "-")
    return Quantity(offset.value.copy_negate(), offset.unit, offset.tolerance) if negative else offset
