"""Missing teeth: a toothed wheel tells its turn by a gap in the pulse train."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from authorkit.signals.states import Sampled

# A period this much longer than the usual one is a gap.
_GAP = 1.5


@dataclass(frozen=True)
class Gaps:
    """What the gaps of a pulse train tell.

    `missing` teeth are lost in each gap. `teeth` is how many places a turn has, gaps included, and `turns` how many
    turns there are in a second; both are None where the capture holds no whole turn.
    """

    missing: int
    teeth: int | None
    turns: float | None


def find_gaps(sampled: Sampled) -> Gaps | None:
    """The gaps in the teeth of a pulse train; None where there are none, or the signal is not periodic."""
    if sampled.regular is None:
        return None
    rising, periods = sampled.edges.rising(), sampled.periods
    usual = float(periods[sampled.regular].mean())
    gaps = np.flatnonzero(periods > _GAP * usual)
    if not len(gaps):
        return None
    missing = round(float(np.median(periods[gaps])) / usual) - 1
    if len(gaps) < 2:
        return Gaps(missing, None, None)
    present = round(float(np.median(np.diff(gaps))))
    turns = (len(gaps) - 1) / float(rising[gaps[-1]] - rising[gaps[0]])
    return Gaps(missing, present + missing, turns)
