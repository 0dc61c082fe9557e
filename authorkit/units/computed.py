"""Values that were worked out, in print: rounded, with a prefix a meter would show."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal

from authorkit.units.error import UnitError, quote
from authorkit.units.quantity import Quantity
from authorkit.units.rows import PRECISE
from authorkit.units.show import show
from authorkit.units.table import BY_SYMBOL, DIMENSIONS

# The units a computed value is printed in, from large to small.
_LADDERS: dict[str, tuple[str, ...]] = {
    "voltage": ("kV", "V", "mV", "µV"),
    "current": ("A", "mA", "µA", "nA"),
    "resistance": ("GΩ", "MΩ", "kΩ", "Ω", "mΩ", "µΩ"),
    "isolation": ("kΩ/V", "Ω/V"),
    "resistance per length": ("Ω/m", "mΩ/m"),
    "power": ("kW", "W", "mW"),
    "energy": ("MJ", "kJ", "J", "mJ"),
    "charge": ("A·h", "mA·h"),
    "capacitance": ("F", "mF", "µF", "nF", "pF"),
    "inductance": ("H", "mH", "µH", "nH"),
    "frequency": ("GHz", "MHz", "kHz", "Hz"),
    "data rate": ("Mbit/s", "kbit/s", "bit/s"),
    "time": ("s", "ms", "µs", "ns"),
    "ratio": ("%",),
    "temperature": ("°C",),
    "temperature difference": ("K",),
    "pressure": ("MPa", "kPa", "Pa"),
    "torque": ("N·m",),
    "force": ("kN", "N"),
    "mass": ("kg", "g", "mg"),
    "length": ("km", "m", "mm", "µm"),
    "area": ("mm²",),
    "volume": ("L", "mL"),
    "mass flow": ("kg/h",),
    "volume flow": ("L/min", "mL/min"),
    "speed": ("km/h",),
    "rotation": ("rpm",),
    "angle": ("°",),
}
_NOTHING = Decimal("0.001")  # of the smallest unit: rounding noise of a computation, below any meter


def format_value(value: float, dimension: str, digits: int = 3) -> str:
    """Print a value in base units, rounded to `digits` significant digits: '2.49 kΩ', '12.6 V', '0.3 mA'.

    Trailing zeros are dropped, as the digits of a computed value claim nothing. Less than a thousandth of
    the smallest unit prints as zero. Raises UnitError for an unknown dimension and for infinity or NaN:
    'open' and 'floating' are answers in words, never numbers.
    """
    if dimension not in _LADDERS:
        raise UnitError(f"the dimension {quote(dimension)}", f"one of {', '.join(DIMENSIONS)}")
    if not math.isfinite(value):
        raise UnitError(f"{value} as a {dimension}", "a finite number")
    rounding = Context(prec=digits, rounding=ROUND_HALF_UP)
    exact = Decimal(repr(float(value)))
    for symbol in _LADDERS[dimension]:
        number = rounding.plus(PRECISE.divide(exact, BY_SYMBOL[symbol].factor))
        if abs(number) >= _smallest(symbol):
            return _printed(number, symbol)
    if abs(number) >= _NOTHING:
        return _printed(number, symbol)
    return _printed(Decimal(0), _whole_unit(dimension))


def _smallest(symbol: str) -> Decimal:
    """The smallest number printed in this unit: 450 Ω is not 0.45 kΩ, but 0.3 mA stays, as on a meter."""
    return Decimal(1) if BY_SYMBOL[symbol].factor > 1 else Decimal("0.1")


def _whole_unit(dimension: str) -> str:
    """The unit zero is printed in: the one without a prefix."""
    ladder = _LADDERS[dimension]
    return next((symbol for symbol in ladder if BY_SYMBOL[symbol].factor == 1), ladder[0])


def _printed(number: Decimal, symbol: str) -> str:
    """Print a rounded number without trailing zeros."""
    return show(Quantity(Decimal(format(number.normalize(), "f")), symbol))
