"""American wire gauge: numbers, their writing beyond size 1, and the cross-section they stand for."""

from __future__ import annotations

import math
import re
from decimal import Decimal

_THICKEST, _THINNEST = -3, 40
_AUGHT = re.compile(r"([1-4])/0\Z")


def gauge_area(number: Decimal) -> float:
    """Cross-section in m² of the solid round wire of this gauge (2/0 is −1).

    ASTM B258: d = 0.127 mm × 92^((36 − n)/39). A trade table may pair a gauge with another metric
    size (18 AWG with 1 mm²); that pairing is not geometry and is not used here.
    """
    diameter = 0.127e-3 * math.pow(92, (36 - int(number)) / 39)
    return math.pi / 4 * diameter * diameter


def is_gauge(number: Decimal) -> bool:
    """Say whether the number is a gauge of the standard table: whole, 4/0 (−3) to 40."""
    return _THICKEST <= number <= _THINNEST and number == number.to_integral_value()


def read_gauge(text: str) -> Decimal | None:
    """Read '18', '2/0' or '00' as a gauge number; None when it is no gauge."""
    aught = _AUGHT.match(text)
    if aught:
        return Decimal(1 - int(aught[1]))
    if text in ("00", "000", "0000"):
        return Decimal(1 - len(text))
    whole = text.isascii() and text.isdigit() and len(text) <= 2
    return Decimal(text) if whole and is_gauge(Decimal(text)) else None


def write_gauge(number: Decimal) -> str:
    """Write a gauge number as the trade does: '18', '1/0', '4/0'."""
    return str(int(number)) if number > 0 else f"{1 - int(number)}/0"
