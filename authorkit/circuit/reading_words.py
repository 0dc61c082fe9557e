"""Computed readings in words: '2.5 V', with its limits, or what the meter shows instead of a number."""

from __future__ import annotations

import math

from authorkit.circuit.instruments import INSTRUMENTS, last_digit
from authorkit.circuit.measurement import Reading
from authorkit.units import format_value

_DIMENSIONS = {"V": "voltage", "Ω": "resistance", "A": "current", "Hz": "frequency"}
# What a status that leaves no number means at the meter.
_NO_NUMBER = {
    "floating": "floating",
    "open": "open (over limit)",
    "live circuit": "live, do not measure ohms",
    "undetermined": "not computed",
    "not converged": "not computed",
    "chatter": "relay chatters",
}


def nominal_words(reading: Reading) -> str:
    """'2.49 V', or the word that stands for no number; a reserve follows where there is one."""
    if reading.nominal is None:
        return _NO_NUMBER.get(reading.status, reading.status)
    digit = float(last_digit(INSTRUMENTS[reading.measurement.instrument], reading.nominal))
    value = with_unit(round(reading.nominal / digit) * digit, reading.unit)
    return value if reading.status == "driven" else f"{value}, {reading.status}"


def limit_words(reading: Reading) -> str:
    """'2.43 V to 2.55 V', one value where both limits print alike, or the word that stands for no number."""
    if reading.low is None or reading.high is None:
        return _NO_NUMBER.get(reading.status, reading.status)
    low, high = with_unit(reading.low, reading.unit), with_unit(reading.high, reading.unit)
    return low if low == high else f"{low} to {high}"


def with_unit(value: float, unit: str) -> str:
    """A value in a meter's unit, rounded to four digits."""
    if math.isinf(value):
        return "open"
    return f"{value:.3g} %" if unit == "%" else format_value(value, _DIMENSIONS[unit], 4)
