"""Fewer points for drawing, without losing a peak: the lowest and the highest sample of every column."""

from __future__ import annotations

import numpy as np

from authorkit.signals.capture import Samples

Points = tuple[tuple[float, float], ...]


def decimate(times: Samples, values: Samples, columns: int) -> Points:
    """At most two points a column of equal width in time, in the order in which they were sampled.

    The first and the last sample always stay.
    """
    if len(times) <= 2 * columns:
        return _points(times, values, np.arange(len(times)))
    edges = np.linspace(times[0], times[-1], columns + 1)[:-1]
    starts = np.unique(np.searchsorted(times, edges))
    chosen = {0, len(times) - 1}
    for start, stop in zip(starts, [*starts[1:], len(times)], strict=True):
        part = values[start:stop]
        chosen |= {int(start + part.argmin()), int(start + part.argmax())}
    return _points(times, values, np.array(sorted(chosen)))


def _points(times: Samples, values: Samples, chosen: np.typing.NDArray[np.intp]) -> Points:
    return tuple(zip(times[chosen].tolist(), values[chosen].tolist(), strict=True))
