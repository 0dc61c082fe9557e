"""Readings that follow from the values in a circuit, as an author would type them."""

from __future__ import annotations

from math import floor, log10


def current_window(battery: float, ohms: float, spread: float) -> str:
    """What a clamp reads on a load: `battery` in volts over `ohms`, whose part `spread` (0.05: 5 %) is its tolerance.

    Ohm's law at both ends of the tolerance, two digits, rounded outwards.
    """
    low, high = battery / (ohms * (1 + spread)), battery / (ohms * (1 - spread))
    return _window(low, high, "A") if low >= 1 else _window(low * 1e3, high * 1e3, "mA")


def parallel_window(ohms: list[float], spread: float) -> str:
    """What an ohmmeter reads on resistors side by side, with room for their tolerance and the wires."""
    whole = 1 / sum(1 / each for each in ohms)
    return _window(whole * (1 - spread), whole * (1 + spread), "Ω")


def _window(low: float, high: float, unit: str) -> str:
    return f"{_rounded(low, up=False)} to {_rounded(high, up=True)} {unit}"


def _rounded(value: float, *, up: bool) -> str:
    """Two digits for numbers that begin with 2 or more, three for those that begin with 1; away from the middle."""
    exponent = floor(log10(value))
    digits = 1 if value / 10**exponent >= 2 else 2
    step = 10.0 ** (exponent - digits)
    # The tiny shift keeps 440.00000001 from becoming 450.
    steps = -floor(-(value / step) + 1e-9) if up else floor(value / step + 1e-9)
    return f"{steps * step:.12g}"
