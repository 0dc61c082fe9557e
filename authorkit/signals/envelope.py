"""A carrier that is modulated in amplitude: its frequency, the depth, and the frequency of its envelope."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from authorkit.signals.states import Sampled, crossings, regular_periods, switches

# Fewer carrier periods show no envelope; less depth is noise.
_FEWEST_PERIODS = 8
_LEAST_DEPTH = 0.05
# Half the band of hysteresis around the middle, as a share of the highest peak.
_BAND = 0.05


@dataclass(frozen=True)
class Envelope:
    """`carrier` and `frequency` in Hz; `depth` from 0 to 1 is (largest − smallest) / (largest + smallest) peak.

    The envelope is a magnitude: where the carrier turns over at zero, as in a resolver, its frequency is twice that of
    the modulating signal. `frequency` is None where the capture holds no whole period of it.
    """

    carrier: float
    depth: float
    frequency: float | None


def find_envelope(sampled: Sampled) -> Envelope | None:
    """The modulation of a carrier; None where there is no carrier, or it is not modulated."""
    values = sampled.values - sampled.values.mean()
    band = _BAND * float(np.abs(values).max())
    _, after, rises = switches(values, -band, band)
    starts = after[rises]
    if len(starts) <= _FEWEST_PERIODS:
        return None
    at, instants = crossings(sampled.times, values, 0.0)
    periods = np.diff(instants[np.searchsorted(at, starts) - 1])
    regular = regular_periods(periods, sampled.interval)
    if regular is None:
        return None
    carrier = 1 / float(periods[regular].mean())
    # The highest sample of each whole carrier period: the peak of its positive half.
    peaks = np.maximum.reduceat(values[: starts[-1]], starts[:-1])
    middles = (sampled.times[starts[:-1]] + sampled.times[starts[1:]]) / 2
    largest, smallest = float(peaks.max()), float(peaks.min())
    depth = (largest - smallest) / (largest + smallest)
    if depth < _LEAST_DEPTH:
        return None
    return Envelope(carrier, depth, _frequency(Sampled(middles, peaks), largest, smallest))


def _frequency(envelope: Sampled, largest: float, smallest: float) -> float | None:
    """Whole periods of the envelope, from its rise through the middle."""
    middle, band = (largest + smallest) / 2, 0.1 * (largest - smallest)
    before, _, rises = switches(envelope.values, middle - band, middle + band)
    at, instants = crossings(envelope.times, envelope.values, middle)
    rising = instants[np.searchsorted(at, before[rises])]
    return (len(rising) - 1) / float(rising[-1] - rising[0]) if len(rising) > 1 else None
