"""THE table of measurements: what may be measured on a capture, and what an author may write under `limits:`.

Terms and methods are those of IEEE 181; a signal that has no such quantity gives None, never a guess.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from authorkit.signals.capture import Capture, Samples
from authorkit.signals.envelope import Envelope, find_envelope
from authorkit.signals.states import Levels, Sampled
from authorkit.signals.teeth import Gaps, find_gaps
from authorkit.signals.transitions import excess, transition_duration
from authorkit.units import format_value

# What a value is measured in where that is whatever the channel shows (volts or amperes).
LEVEL = "level"
# A plain number: it has no unit, and so no window can be written for it.
COUNT = "count"


@dataclass(frozen=True, eq=False)
class Measured(Sampled):
    """A channel with what rows of the table share."""

    @cached_property
    def gaps(self) -> Gaps | None:
        """The gaps of missing teeth."""
        return find_gaps(self)

    @cached_property
    def envelope(self) -> Envelope | None:
        """The modulation of a carrier."""
        return find_envelope(self)


@dataclass(frozen=True)
class Measurement:
    """A row of the table: dimension (or LEVEL, COUNT), words for the page, and how it is worked out (base units)."""

    dimension: str
    words: str
    function: Callable[[Measured], float | None]


def _of_levels(pick: Callable[[Levels], float]) -> Callable[[Sampled], float | None]:
    return lambda sampled: None if sampled.levels is None else pick(sampled.levels)


def _period(sampled: Sampled) -> float | None:
    """The mean of the regular periods: a gap of missing teeth does not lengthen it."""
    return None if sampled.regular is None else float(sampled.periods[sampled.regular].mean())


def _frequency(sampled: Sampled) -> float | None:
    period = _period(sampled)
    return None if period is None else 1 / period


def _widths(sampled: Sampled, high: bool) -> Samples:
    """The times that the signal stays in one state between two edges."""
    edges = sampled.edges
    return np.diff(edges.instants)[edges.rises[:-1] == high] if len(edges.instants) > 1 else np.empty(0)


def _width(sampled: Sampled, high: bool) -> float | None:
    """The median pulse width at 50 %."""
    widths = _widths(sampled, high)
    return float(np.median(widths)) if len(widths) else None


def _duty(sampled: Sampled) -> float | None:
    """The share of each regular period during which the signal is high, in the mean."""
    if sampled.regular is None:
        return None
    edges = sampled.edges
    first = int(np.argmax(edges.rises))  # edges alternate from here: up, down, up
    widths = np.diff(edges.instants[first:])[::2][: len(sampled.periods)]
    return float((widths / sampled.periods)[sampled.regular].mean())


def _duty_low(sampled: Sampled) -> float | None:
    duty = _duty(sampled)
    return None if duty is None else 1 - duty


def _whole_periods(sampled: Sampled) -> tuple[Samples, Samples]:
    """The samples from the first rising edge to the last; all of them where the signal is not periodic."""
    if sampled.regular is None:
        return sampled.times, sampled.values
    start, stop = sampled.edges.rising()[[0, -1]]
    first, last = np.searchsorted(sampled.times, (start, stop), "right")
    ends = np.interp((start, stop), sampled.times, sampled.values)
    times = np.concatenate([[start], sampled.times[first:last], [stop]])
    return times, np.concatenate([ends[:1], sampled.values[first:last], ends[1:]])


def _average(times: Samples, values: Samples) -> float:
    return float(np.trapezoid(values, times)) / float(times[-1] - times[0])


def _mean(sampled: Sampled) -> float:
    return _average(*_whole_periods(sampled))


def _rms(sampled: Sampled) -> float:
    """Root of the mean square, direct part included ('true r.m.s.')."""
    times, values = _whole_periods(sampled)
    return math.sqrt(_average(times, values * values))


def _phase(sampled: Sampled) -> float | None:
    """How far the second channel runs behind the first, in radians from −π to π; None unless both share a period."""
    if sampled.other is None:
        return None
    second = Sampled(sampled.times, sampled.other)
    period, other = _period(sampled), _period(second)
    if period is None or other is None or abs(period - other) > 0.05 * period:
        return None
    first, edges = sampled.edges.rising(), second.edges.rising()
    nearest = np.clip(np.searchsorted(first, edges) - 1, 0, None)
    turns = (edges - first[nearest]) / period * math.tau
    return math.atan2(float(np.sin(turns).mean()), float(np.cos(turns).mean()))


def _of_gaps(pick: Callable[[Gaps], float | None]) -> Callable[[Measured], float | None]:
    return lambda sampled: None if sampled.gaps is None else pick(sampled.gaps)


def _of_envelope(pick: Callable[[Envelope], float | None]) -> Callable[[Measured], float | None]:
    return lambda sampled: None if sampled.envelope is None else pick(sampled.envelope)


MEASUREMENTS: dict[str, Measurement] = {
    "low": Measurement(LEVEL, "low state", _of_levels(lambda levels: levels.low)),
    "high": Measurement(LEVEL, "high state", _of_levels(lambda levels: levels.high)),
    "amplitude": Measurement(LEVEL, "amplitude, from state to state", _of_levels(lambda levels: levels.amplitude)),
    "minimum": Measurement(LEVEL, "lowest value", lambda sampled: float(sampled.values.min())),
    "maximum": Measurement(LEVEL, "highest value", lambda sampled: float(sampled.values.max())),
    "peak-to-peak": Measurement(LEVEL, "from lowest to highest value", lambda sampled: float(np.ptp(sampled.values))),
    "mean": Measurement(LEVEL, "mean over whole periods", _mean),
    "rms": Measurement(LEVEL, "true r.m.s. over whole periods", _rms),
    "frequency": Measurement("frequency", "frequency", _frequency),
    "period": Measurement("time", "period", _period),
    "duty": Measurement("ratio", "duty cycle: share of time high", _duty),
    "duty-low": Measurement("ratio", "duty cycle of a low-side driver: share of time low", _duty_low),
    "pulse-width": Measurement("time", "width of the high pulse", lambda sampled: _width(sampled, True)),
    "pulse-width-low": Measurement("time", "width of the low pulse", lambda sampled: _width(sampled, False)),
    "rise-time": Measurement("time", "transition duration up, 10 to 90 %", lambda s: transition_duration(s, True)),
    "fall-time": Measurement("time", "transition duration down, 90 to 10 %", lambda s: transition_duration(s, False)),
    "overshoot": Measurement("ratio", "overshoot after rising", lambda sampled: excess(sampled, True)),
    "undershoot": Measurement("ratio", "undershoot after falling", lambda sampled: excess(sampled, False)),
    "missing-teeth": Measurement(COUNT, "teeth missing in a gap", _of_gaps(lambda gaps: gaps.missing)),
    "teeth": Measurement(COUNT, "teeth of a turn, missing ones included", _of_gaps(lambda gaps: gaps.teeth)),
    "turn-frequency": Measurement("frequency", "turns of the wheel in a second", _of_gaps(lambda gaps: gaps.turns)),
    "phase": Measurement("angle", "second channel behind the first", _phase),
    "carrier-frequency": Measurement("frequency", "carrier frequency", _of_envelope(lambda found: found.carrier)),
    "envelope-frequency": Measurement("frequency", "frequency of the envelope", _of_envelope(lambda e: e.frequency)),
    "modulation-depth": Measurement("ratio", "depth of modulation", _of_envelope(lambda found: found.depth)),
}


def measure(capture: Capture, number: int) -> dict[str, float]:
    """What channel `number` (from 1) has of the table, in base units and in its order.

    Phase is between channel 1 and this one; for channel 1 it is between it and channel 2. Raises IndexError.
    """
    values = [channel.values for channel in capture.channels]
    sampled = Measured(capture.times, values[number - 1], values[1] if number == 1 and len(values) > 1 else None)
    found = {name: entry.function(sampled) for name, entry in MEASUREMENTS.items()}
    if number > 1:
        found["phase"] = _phase(Sampled(capture.times, values[0], values[number - 1]))
    return {name: value for name, value in found.items() if value is not None}


def dimension_of(name: str, channel: str) -> str:
    """What a measurement is measured in, on a channel of this dimension."""
    dimension = MEASUREMENTS[name].dimension
    return channel if dimension == LEVEL else dimension


def show_measured(name: str, value: float, channel: str) -> str:
    """A measured value in print: '120 Hz', '4.97 V', '2' where it is a plain number."""
    dimension = dimension_of(name, channel)
    return f"{value:.0f}" if dimension == COUNT else format_value(value, dimension, digits=4)
