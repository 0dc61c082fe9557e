"""What a meter reads, in words."""

from __future__ import annotations

import math

from authorkit.circuit.readings import Reading
from authorkit.units import format_value

_DIMENSIONS = {"V": "voltage", "Ω": "resistance", "A": "current", "Hz": "frequency", "%": "ratio"}


def reading_in_words(reading: Reading) -> str:
    """'0.15 V to 0.25 V', '2.49 kΩ', 'open', 'floating'."""
    if reading.low is None or reading.high is None:
        return reading.status
    low, high = (_shown(value, reading.unit) for value in (reading.low, reading.high))
    return low if low == high else f"{low} to {high}"


def _shown(value: float, unit: str) -> str:
    if not math.isfinite(value):
        return "open"
    return format_value(value / 100 if unit == "%" else value, _DIMENSIONS[unit])
