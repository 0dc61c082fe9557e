"""The raw rows of the unit table: families that take prefixes, and units that stand alone.

Symbols and prefixes follow the SI Brochure (9th edition, BIPM 2019) and ISO 80000-1; the factors of the
inch-pound units are those of NIST SP 811, appendix B.8 (from memory).
"""

from __future__ import annotations

from decimal import Context, Decimal
from typing import NamedTuple

PRECISE = Context(prec=28)
"""For every computation with typed numbers, so that no caller's decimal context changes a result."""

_ONE = Decimal(1)
_PI = Decimal("3.141592653589793238462643383")
_POUND_FORCE = Decimal("4.4482216152605")  # N, exact by definition of the pound and of standard gravity
_FOOT = Decimal("0.3048")
_INCH = Decimal("0.0254")


class Family(NamedTuple):
    """A unit used with several prefixes ('-' is none); `others` are spellings that take the same prefixes."""

    dimension: str
    symbol: str
    name: str
    prefixes: str
    factor: Decimal = _ONE
    others: tuple[str, ...] = ()


class Single(NamedTuple):
    """A unit without prefixes; `others` are further spellings, the ASCII one to print first."""

    dimension: str
    symbol: str
    name: str
    factor: Decimal
    others: tuple[str, ...] = ()
    offset: Decimal = Decimal(0)


def _ratio(numerator: int | Decimal, denominator: int | Decimal) -> Decimal:
    """A factor that is a fraction, to 28 digits."""
    return PRECISE.divide(Decimal(numerator), Decimal(denominator))


PREFIXES: dict[str, tuple[str, int]] = {
    "p": ("pico", -12),
    "n": ("nano", -9),
    "µ": ("micro", -6),
    "m": ("milli", -3),
    "c": ("centi", -2),
    "-": ("", 0),
    "h": ("hecto", 2),
    "k": ("kilo", 3),
    "M": ("mega", 6),
    "G": ("giga", 9),
}

FAMILIES: tuple[Family, ...] = (
    Family("voltage", "V", "volt", "µ m - k"),
    Family("current", "A", "ampere", "n µ m - k", others=("amp", "amps")),
    Family("resistance", "Ω", "ohm", "µ m - k M G", others=("ohm", "Ohm", "ohms", "Ohms")),
    Family("isolation", "Ω/V", "ohm per volt", "- k M", others=("Ohm/V", "ohm/volt", "ohms/volt")),
    Family("resistance per length", "Ω/m", "ohm per metre", "m -", others=("Ohm/m",)),
    Family("power", "W", "watt", "m - k M"),
    Family("energy", "J", "joule", "m - k M"),
    Family("energy", "W·h", "watt hour", "- k", Decimal(3600)),
    Family("charge", "A·h", "ampere hour", "m -", Decimal(3600)),
    Family("capacitance", "F", "farad", "p n µ m -"),
    Family("inductance", "H", "henry", "n µ m -"),
    Family("frequency", "Hz", "hertz", "- k M G"),
    Family("data rate", "bit/s", "bit per second", "- k M", others=("bps",)),
    Family("time", "s", "second", "n µ m -", others=("sec", "secs")),
    Family("pressure", "Pa", "pascal", "- h k M"),
    Family("pressure", "bar", "bar", "m -", Decimal(100_000)),
    Family("torque", "N·m", "newton metre", "m c -"),
    Family("force", "N", "newton", "m - k"),
    Family("mass", "g", "gram", "m - k", Decimal("0.001")),
    Family("length", "m", "metre", "µ m c - k"),
    Family("volume", "L", "litre", "m -", Decimal("0.001"), ("l",)),
)

SINGLES: tuple[Single, ...] = (
    Single("resistance per length", "Ω/km", "ohm per kilometre", Decimal("0.001"), ("ohm/km", "Ohm/km")),
    Single("time", "min", "minute", Decimal(60), ("mins", "minutes")),
    Single("time", "h", "hour", Decimal(3600), ("hr", "hrs", "hours")),
    Single("time", "d", "day", Decimal(86_400), ("days",)),
    Single("ratio", "%", "per cent", Decimal("0.01"), ("percent",)),
    Single("ratio", "ppm", "part per million", Decimal("0.000001"), ("parts per million",)),
    Single("temperature", "°C", "degree Celsius", _ONE, ("degC", "° C", "deg C", "celsius", "degrees Celsius")),
    Single("temperature", "°F", "degree Fahrenheit", _ratio(5, 9), ("degF", "° F", "deg F"), _ratio(-160, 9)),
    Single("temperature difference", "K", "kelvin", _ONE, ("kelvins",)),
    Single("pressure", "psi", "pound-force per square inch", _ratio(_POUND_FORCE, _INCH * _INCH)),
    Single("pressure", "inHg", "inch of mercury", Decimal("3386.389"), ("in Hg",)),
    Single("torque", "lbf·ft", "pound-force foot", _POUND_FORCE * _FOOT, ("lb-ft", "ft-lb", "lb·ft")),
    Single("torque", "lbf·in", "pound-force inch", _POUND_FORCE * _INCH, ("lb-in", "in-lb", "lb·in")),
    Single("mass", "lb", "pound", Decimal("0.45359237"), ("lbs", "pounds")),
    Single("length", "in", "inch", _INCH, ("inches",)),
    Single("length", "ft", "foot", _FOOT, ("feet",)),
    Single("length", "mi", "mile", Decimal("1609.344"), ("miles",)),
    Single("area", "mm²", "square millimetre", Decimal("0.000001"), ("mm2", "sq mm", "sqmm")),
    Single("area", "cm²", "square centimetre", Decimal("0.0001")),
    Single("area", "m²", "square metre", _ONE),
    # The gauge is logarithmic, so its row has no usable factor: see gauge.py.
    Single("area", "AWG", "American wire gauge", Decimal("NaN"), ("awg", "ga", "gauge")),
    Single("volume", "cm³", "cubic centimetre", Decimal("0.000001"), ("cm3", "cc")),
    Single("mass flow", "g/s", "gram per second", Decimal("0.001")),
    Single("mass flow", "kg/h", "kilogram per hour", _ratio(1, 3600), ("kg/hr",)),
    Single("volume flow", "L/min", "litre per minute", _ratio(1, 60_000), ("l/min",)),
    Single("volume flow", "mL/min", "millilitre per minute", _ratio(1, 60_000_000), ("ml/min",)),
    Single("speed", "m/s", "metre per second", _ONE),
    Single("speed", "km/h", "kilometre per hour", _ratio(10, 36), ("km/hr", "kph")),
    # NIST writes mi/h; 'mph' is common practice on every speedometer that shows it.
    Single("speed", "mph", "mile per hour", Decimal("0.44704"), ("mi/h",)),
    Single("rotation", "rpm", "revolution per minute", _ratio(1, 60), ("RPM", "r/min", "rev/min")),
    Single("angle", "°", "degree", _ratio(_PI, 180), ("deg", "degrees")),
)
