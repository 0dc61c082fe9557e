"""The two states of a signal and its edges between them, by the methods of IEEE 181.

State levels: histogram of 256 bins from the lowest to the highest sample, split in half; the mode of each half is a
state. Instants: linear interpolation at the reference level. An edge counts when the signal has left the band of
hysteresis around 50 % on the other side: noise on a slow edge is no second edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from authorkit.signals.capture import Samples

Indices = npt.NDArray[np.intp]

_BINS = 256
# Half the band around 50 %, as a share of the amplitude (common practice: 10 %).
_HYSTERESIS = 0.1
# States nearer to each other than this share of the whole range are one state with noise, not two.
_LEAST_AMPLITUDE = 0.2
# A range below this (in base units, or as a share of the value) is rounding, not signal.
_FLAT = 1e-12


@dataclass(frozen=True)
class Levels:
    """The low and the high state, in base units."""

    low: float
    high: float

    @property
    def amplitude(self) -> float:
        """From state to state."""
        return self.high - self.low

    def at(self, share: float) -> float:
        """A reference level: 0.1 is 10 % of the amplitude above the low state."""
        return self.low + share * self.amplitude


@dataclass(frozen=True, eq=False)
class Edges:
    """Where the signal changes its state: instants at 50 % (s), and whether it rises."""

    instants: Samples
    rises: npt.NDArray[np.bool_]

    def rising(self) -> Samples:
        """The instants of the rising edges."""
        return self.instants[self.rises]


@dataclass(frozen=True, eq=False)
class Sampled:
    """One channel over time; what several measurements need is worked out once.

    `other` is a second channel at the same instants, for what compares two.
    """

    times: Samples
    values: Samples
    other: Samples | None = None

    @property
    def interval(self) -> float:
        """The mean time between two samples, in s."""
        return float(self.times[-1] - self.times[0]) / (len(self.times) - 1)

    @cached_property
    def levels(self) -> Levels | None:
        """The state levels; None where the signal does not have two states."""
        return state_levels(self.values)

    @cached_property
    def edges(self) -> Edges:
        """All edges; none without two states."""
        if self.levels is None:
            return Edges(np.empty(0), np.empty(0, np.bool_))
        return find_edges(self.times, self.values, self.levels)

    @cached_property
    def periods(self) -> Samples:
        """The times from each rising edge to the next, in s."""
        return np.diff(self.edges.rising())

    @cached_property
    def regular(self) -> npt.NDArray[np.bool_] | None:
        """Which periods are near the usual one; None if the signal is not periodic or sampled too coarsely."""
        return regular_periods(self.periods, self.interval)


def state_levels(values: Samples) -> Levels | None:
    """Low and high state by histogram; None if there are no two states."""
    lowest, highest = float(values.min()), float(values.max())
    if highest - lowest <= _FLAT * max(1.0, abs(lowest), abs(highest)):
        return None
    counts, bounds = np.histogram(values, _BINS, (lowest, highest))
    half = _BINS // 2
    low, high = int(counts[:half].argmax()), half + int(counts[half:].argmax())
    centres = (bounds[:-1] + bounds[1:]) / 2
    levels = Levels(float(centres[low]), float(centres[high]))
    return levels if levels.amplitude >= _LEAST_AMPLITUDE * (highest - lowest) else None


def crossings(times: Samples, values: Samples, level: float) -> tuple[Indices, Samples]:
    """Each place where the line between two samples passes a level: index of the first sample, and instant."""
    below = values < level
    at = np.flatnonzero(below[1:] != below[:-1])
    share = (level - values[at]) / (values[at + 1] - values[at])
    return at, times[at] + share * (times[at + 1] - times[at])


def find_edges(times: Samples, values: Samples, levels: Levels) -> Edges:
    """The edges between two states, at 50 %; on a noisy edge halfway between the first and the last crossing."""
    band = _HYSTERESIS * levels.amplitude
    before, after, rises = switches(values, levels.at(0.5) - band, levels.at(0.5) + band)
    at, instants = crossings(times, values, levels.at(0.5))
    if not len(before):
        return Edges(np.empty(0), rises)
    first, last = np.searchsorted(at, before), np.searchsorted(at, after) - 1
    return Edges((instants[first] + instants[last]) / 2, rises)


def switches(values: Samples, lower: float, upper: float) -> tuple[Indices, Indices, npt.NDArray[np.bool_]]:
    """Changes of state with hysteresis: last sample in the old state, first in the new one, whether it rises."""
    state = np.zeros(len(values), np.int8)
    state[values > upper] = 1
    state[values < lower] = -1
    known = np.flatnonzero(state)
    signs = state[known]
    turns = np.flatnonzero(signs[1:] != signs[:-1])
    return known[turns], known[turns + 1], signs[turns + 1] > 0


# A period is regular within a quarter of the usual one; so must most be. Longer ones may be gaps of missing teeth, but
# many shorter ones are data bits. Fewer samples a period prove nothing.
_REGULAR = 0.25
_MOST, _MOST_SHORT = 0.6, 0.1
_SAMPLES_A_PERIOD = 5


def regular_periods(periods: Samples, interval: float) -> npt.NDArray[np.bool_] | None:
    """Which periods are near their median; None if the signal is not periodic, or if they last only a few samples."""
    if not len(periods):
        return None
    usual = float(np.median(periods))
    regular = np.abs(periods - usual) <= _REGULAR * usual
    short = periods < (1 - _REGULAR) * usual
    coarse = usual < _SAMPLES_A_PERIOD * interval
    return None if coarse or regular.mean() < _MOST or short.mean() > _MOST_SHORT else regular
