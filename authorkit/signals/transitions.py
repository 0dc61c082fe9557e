"""Edges in detail, by the terms of IEEE 181: transition duration from 10 % to 90 %, overshoot and undershoot."""

from __future__ import annotations

import numpy as np

from authorkit.signals.capture import Samples
from authorkit.signals.states import Sampled, crossings

# Edges looked at for overshoot: enough for a median, few enough for a long capture.
_MOST_EDGES = 1000
# The region of overshoot beside an edge: this many transition durations, and at least this many samples.
_DURATIONS, _SAMPLES = 3.0, 4


def transition_duration(sampled: Sampled, rising: bool) -> float | None:
    """The median time in s from 10 % to 90 % of the rising edges, or back of the falling ones.

    None without such an edge, and where the edges are faster than the samples.
    """
    durations = _durations(sampled, rising)
    if not len(durations):
        return None
    usual = float(np.median(durations))
    return usual if usual >= sampled.interval else None


def _durations(sampled: Sampled, rising: bool) -> Samples:
    levels, edges = sampled.levels, sampled.edges
    if levels is None or not len(edges.instants):
        return np.empty(0)
    _, starts = crossings(sampled.times, sampled.values, levels.at(0.1 if rising else 0.9))
    _, stops = crossings(sampled.times, sampled.values, levels.at(0.9 if rising else 0.1))
    if not len(starts) or not len(stops):
        return np.empty(0)
    chosen = edges.rises if rising else ~edges.rises
    instants = edges.instants[chosen]
    before = np.concatenate([[-np.inf], edges.instants[:-1]])[chosen]
    after = np.concatenate([edges.instants[1:], [np.inf]])[chosen]
    start, stop = np.searchsorted(starts, instants, "right") - 1, np.searchsorted(stops, instants)
    there = (start >= 0) & (stop < len(stops))
    begins, ends = starts[np.maximum(start, 0)], stops[np.minimum(stop, len(stops) - 1)]
    whole = there & (begins > before) & (ends < after)
    return np.asarray(ends[whole] - begins[whole], np.float64)


def excess(sampled: Sampled, rising: bool) -> float | None:
    """Overshoot after rising edges, or undershoot after falling ones, as a share of the amplitude (median).

    It is looked for beside the edge, at most halfway to the next one. None without such an edge.
    """
    levels = sampled.levels
    peaks = _extremes(sampled, rising)
    if levels is None or not peaks:
        return None
    beyond = float(np.median(peaks)) - levels.high if rising else levels.low - float(np.median(peaks))
    return max(0.0, beyond / levels.amplitude)


def _extremes(sampled: Sampled, rising: bool) -> list[float]:
    instants, rises = sampled.edges.instants, sampled.edges.rises
    duration = transition_duration(sampled, rising) or 0.0
    region = max(_DURATIONS * duration, _SAMPLES * sampled.interval)
    found: list[float] = []
    for number in np.flatnonzero(rises == rising)[:_MOST_EDGES]:
        instant = instants[number]
        limit = (instant + instants[number + 1]) / 2 if number + 1 < len(instants) else np.inf
        start, stop = np.searchsorted(sampled.times, (instant, min(instant + region, limit)))
        part = sampled.values[start : max(stop, start + 1)]
        if len(part):
            found.append(float(part.max() if rising else part.min()))
    return found
