"""Instruments as elements of the circuit, and how exactly they show what they measure."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Instrument:
    """One instrument.

    `ohms` and `volts` are what it puts between its leads: its input resistance, or a test source in series with `ohms`.
    `of_reading` and `fixed` are its accuracy (a part, and an amount in the unit), `counts` the largest number on its
    display, which sets the size of the last digit. One that is a `load` takes so much current that fuses, relays and
    lamps come to rest anew with it connected.
    """

    name: str
    unit: str
    ohms: float = math.inf
    volts: float = 0.0
    of_reading: float = 0.005
    fixed: float = 0.0
    counts: int = 6000
    load: bool = False

    @property
    def is_passive(self) -> bool:
        """Whether it brings no source of its own and wants a live circuit."""
        return self.volts == 0.0


# Common practice for workshop instruments. A low-impedance input has about 3 kΩ; the lamp is one of 21 W at 12 V, hot.
# Resistances below 2 Ω are taken with four leads, so the leads do not count.
INSTRUMENTS: Mapping[str, Instrument] = {
    "volts": Instrument("volts", "V", 10e6, fixed=0.005),
    "drop": Instrument("drop", "V", 10e6, fixed=0.001),
    "low-impedance": Instrument("low-impedance", "V", 3e3, fixed=0.005, load=True),
    "lamp": Instrument("lamp", "V", 12.0 * 12.0 / 21.0, of_reading=0.0, counts=600, load=True),
    "ohms": Instrument("ohms", "Ω", 1e3, 0.3, of_reading=0.008, fixed=1e-4),
    "insulation": Instrument("insulation", "Ω", 1e6, 500.0, of_reading=0.03, counts=600),
    "amps": Instrument("amps", "A", of_reading=0.02, fixed=0.01),
    "hertz": Instrument("hertz", "Hz", of_reading=0.001, fixed=0.1),
    "duty": Instrument("duty", "%", of_reading=0.005, fixed=0.5),
    # A 10:1 probe has 10 MΩ; what is computed is the d.c. mean of the trace.
    "scope": Instrument("scope", "V", 10e6, of_reading=0.03, fixed=0.02, counts=600),
    # A two-pole tester draws at most 3.5 mA at 1 kV (EN 61243-3, value from memory): some 290 kΩ.
    "absence": Instrument("absence", "V", 290e3, of_reading=0.03, fixed=0.5, counts=600),
    # What a module itself reads at its pin: nothing is loaded, nothing is rounded.
    "read": Instrument("read", "V", of_reading=0.0, counts=10**6),
}

# An instrument of fewer ohms holds a point that nothing else drives: it reads what is left there, which is next to 0.
HELD_BELOW = 1e6  # Ω

# An ohmmeter refuses to measure where it finds this much without its own source.
LIVE = 0.005  # V


def ohms_shown(instrument: Instrument, volts: Array | float) -> Array:
    """The resistance that a meter with its own source works out of the voltage across its leads."""
    with np.errstate(divide="ignore", invalid="ignore"):
        amps = (instrument.volts - np.asarray(volts, dtype=float)) / instrument.ohms
        return np.where(amps > 0, volts / amps, np.where(np.isnan(amps), np.nan, np.inf))


def last_digit(instrument: Instrument, value: Array | float) -> Array:
    """The size of the last digit on the display at this value: the range is the smallest that holds it."""
    size = np.abs(np.asarray(value, dtype=float))
    counts = np.where((size > 0) & np.isfinite(size), size / instrument.counts, 1e-9)
    decade = np.floor(np.log10(counts)) + 1
    return np.asarray(10.0 ** np.maximum(decade, -3.0 if instrument.unit != "Ω" else -4.0))


def shown_limits(instrument: Instrument, low: Array | float, high: Array | float) -> tuple[Array, Array]:
    """Limits with the instrument's accuracy, rounded outward to its display."""
    low = low - np.abs(low) * instrument.of_reading - instrument.fixed
    high = high + np.abs(high) * instrument.of_reading + instrument.fixed
    if instrument.unit in ("Ω", "Hz"):
        low = np.maximum(low, 0.0)
    return _outward(low, last_digit(instrument, low), -1), _outward(high, last_digit(instrument, high), 1)


def _outward(value: Array | float, digit: Array, way: int) -> Array:
    """Rounded to whole digits; what is whole but for the noise of the computation stays."""
    with np.errstate(invalid="ignore"):
        parts = np.asarray(value / digit)
        nearest = np.round(parts)
        whole = np.where(np.abs(parts - nearest) < 1e-6, nearest, way * np.ceil(way * parts))
        return np.where(np.isfinite(parts), np.round(whole * digit, 6) + 0.0, value)
