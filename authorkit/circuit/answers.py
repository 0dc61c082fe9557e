"""Every reading of one state under many faults, in one go."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from authorkit.circuit.faults import Fault, change_of
from authorkit.circuit.instruments import INSTRUMENTS, shown_limits
from authorkit.circuit.measurement import STATUSES, WITH_NUMBER, Measurement, Reading
from authorkit.circuit.netlist import Change, Netlist, Param
from authorkit.circuit.ports import Array, Places
from authorkit.circuit.run import Run
from authorkit.circuit.windows import BASES, corner_settings, extents, is_linear, one_at_a_time, shared_params

Numbers = NDArray[np.int8]

_SWING = 1.0  # V that a counter needs to count
_SAME = 1e-3


@dataclass(frozen=True)
class Half:
    """A fixed circuit, and the share of the time in which it holds."""

    netlist: Netlist
    share: float = 1.0


@dataclass(frozen=True)
class Answers:
    """Readings of some measurements, sound and under some faults (1 + faults × measurements).

    `status` and `basis` number `STATUSES` and `windows.BASES`; numbers are NaN where there is none to print. `over_low`
    and `over_high` belong to the reading less the voltage at the battery's posts.
    """

    status: Numbers
    basis: Numbers
    nominal: Array
    low: Array
    high: Array
    over_low: Array
    over_high: Array

    def reading(self, at: tuple[int, int], measurement: Measurement, state: str) -> Reading:
        """One of them, in words and numbers of its own."""
        unit, status = INSTRUMENTS[measurement.instrument].unit, STATUSES[self.status[at]]
        nominal = float(self.nominal[at])
        if not math.isfinite(nominal):
            return Reading(measurement, state, unit, None, None, None, "", status)
        over = float(self.over_low[at]), float(self.over_high[at])
        limits = float(self.low[at]), float(self.high[at])
        over_battery = over if math.isfinite(over[0]) else None
        return Reading(measurement, state, unit, nominal, *limits, BASES[self.basis[at]], status, over_battery)


def answers_of(
    halves: Sequence[Half],
    measurements: Sequence[Measurement],
    faults: Sequence[Fault],
    *,
    frequency: float | None = None,
    over_battery: Sequence[bool] | None = None,
) -> Answers:
    """Read each measurement on the sound circuit and with each fault. Tolerances are those of the first half.

    `over_battery` tells which are to be compared with the battery as well (None: all that are voltages).
    """
    changes = [[Change(), *(change_of(half.netlist, fault) for fault in faults)] for half in halves]
    unlike, alike = _unlike(halves, changes)
    params = halves[0].netlist.params
    runs = [
        Run(half.netlist, [own[index] for index in unlike], measurements, params)
        for half, own in zip(halves, changes, strict=True)
    ]
    state = _State(runs, [half.share for half in halves], params, frequency)
    if over_battery is not None:
        state.over &= np.array(over_battery, dtype=bool)
    return state.answers(np.array(alike))


def agreed(several: Sequence[Answers], spanning: Sequence[bool]) -> Answers:
    """Answers of a state at several settings as one, from the lowest to the highest.

    They must be the same within a thousandth, or 1 mV; a measurement that differs is undetermined, except where it is
    `spanning`: then the nominal value is that of the first setting.
    """
    status = np.array([each.status for each in several])
    nominal = np.array([each.nominal for each in several])
    same = (status == status[0]).all(axis=0)
    same &= ~(np.ptp(nominal, axis=0) > _SAME * (1 + np.abs(nominal[0]))) | np.array(spanning, dtype=bool)
    undetermined = np.where(same, status[0], STATUSES.index("undetermined")).astype(np.int8)
    lows, highs = (
        [np.where(same, of(np.array([getattr(each, name) for each in several]), axis=0), np.nan) for name in names]
        for of, names in ((np.min, ("low", "over_low")), (np.max, ("high", "over_high")))
    )
    basis = np.where(same, np.max([each.basis for each in several], axis=0), 0).astype(np.int8)
    return Answers(undetermined, basis, np.where(same, nominal[0], np.nan), lows[0], highs[0], lows[1], highs[1])


def _unlike(halves: Sequence[Half], changes: Sequence[Sequence[Change]]) -> tuple[list[int], list[int]]:
    """The changes that differ from those before them, and for each change the number of the one it equals."""
    values = [{element.name: element.value for element in half.netlist.elements} for half in halves]
    keys = [
        tuple(_effect(change, known) for change, known in zip(both, values, strict=True))
        for both in zip(*changes, strict=True)
    ]
    first: dict[object, int] = {}
    for key in keys:
        first.setdefault(key, len(first))
    numbers = [first[key] for key in keys]
    return [numbers.index(number) for number in range(len(first))], numbers


def _effect(change: Change, values: Mapping[str, float]) -> object:
    """What a change comes down to in a circuit of these values."""
    moved = sorted((name, value) for name, value in change.values.items() if values.get(name, value) != value)
    added = sorted((element.name.partition(":")[0], element.a, element.b, element.value) for element in change.added)
    return tuple(moved), tuple(added), tuple(sorted(change.frozen))


class _State:
    """The runs of one state's halves, and what they give together.

    Measurements are numbered through (changes × measurements); beside each reading stands the same less the battery.
    """

    def __init__(
        self, runs: Sequence[Run], shares: Sequence[float], params: tuple[Param, ...], frequency: float | None
    ) -> None:
        self.runs, self.shares, self.params, self.frequency = runs, shares, params, frequency
        self.shape = runs[0].shape
        self.parts = np.array([(param.low, param.high) for param in params]).reshape(-1, 2)
        self.parts /= np.array([[param.nominal or 1.0] for param in params]).reshape(-1, 1)
        instruments = runs[0].instruments
        self.over = np.array([each.unit == "V" for each in instruments], dtype=bool)
        self.over &= any(param.name == "battery" for param in params)

    def answers(self, alike: Places) -> Answers:
        """Everything, with the rows of equal changes repeated."""
        status = np.min([run.status() for run in self.runs], axis=0)
        numbered = np.isin(status, [STATUSES.index(each) for each in WITH_NUMBER])
        nominal = self._read([run.levels.nominal()[: status.size] for run in self.runs], np.arange(status.size))
        nominal = np.where(numbered, nominal.reshape(self.shape), np.nan)
        status = np.where(numbered & np.isinf(nominal), STATUSES.index("open"), status)
        status = np.where(numbered & np.isnan(nominal), STATUSES.index("not converged"), status)
        nominal = np.where(np.isfinite(nominal), nominal, np.nan)
        bounds, basis = self._bounds(np.flatnonzero(np.isfinite(nominal)))
        shown = [self._displayed(*bounds[pair : pair + 2]) for pair in (0, 2)]
        tables = (nominal, *shown[0], *shown[1])
        numbers = (table[alike] for table in tables)
        return Answers(status.astype(np.int8)[alike], basis.reshape(self.shape)[alike], *numbers)

    def _displayed(self, low: Array, high: Array) -> tuple[Array, Array]:
        """Limits with the accuracy of the instruments, as they are displayed."""
        low, high = low.reshape(self.shape).copy(), high.reshape(self.shape).copy()
        for column, instrument in enumerate(self.runs[0].instruments):
            low[:, column], high[:, column] = shown_limits(instrument, low[:, column], high[:, column])
        return low, high

    def _bounds(self, wanted: Places) -> tuple[Array, Numbers]:
        """Lowest and highest of each reading and of each less the battery (4 × all measurements), and the basis."""
        bounds = np.full((4, self.shape[0] * self.shape[1]), np.nan)
        basis = np.zeros(bounds.shape[1], dtype=np.int8)
        sound = wanted[wanted < self.shape[1]]
        faulty = wanted[wanted >= self.shape[1]]
        if len(sound):
            bounds[:, sound], basis[sound] = self._proven(sound)
        if len(faulty):
            bounds[:, faulty] = self._at_signs(faulty)
            basis[faulty] = BASES.index("signs")
        return bounds, basis

    def _proven(self, which: Places) -> tuple[Array, Numbers]:
        """The limits of sound readings, from all corners where that can be done."""
        nominal = np.array([param.nominal or 1.0 for param in self.params])
        over = which[self.over[which % self.shape[1]]]

        def evaluate(sets: Array) -> Array:
            places, factors = np.arange(len(sets)), sets / nominal
            read = self._at(np.tile(which, len(sets)), np.repeat(places, len(which)), factors)
            less = self._over(np.tile(over, len(sets)), np.repeat(places, len(over)), factors)
            return np.hstack([read.reshape(len(sets), len(which)), less.reshape(len(sets), len(over))])

        netlists = [run.netlist for run in self.runs]
        shared = frozenset().union(*(shared_params(netlist) for netlist in netlists))
        one = one_at_a_time(self.params) / nominal
        linear = len(netlists) == 1 and is_linear(netlists[0]) and self.runs[0].stands(self.params, one)
        found = extents(evaluate, self.params, shared, linear)
        ends = np.array([(each.low, each.high) for each in found]).T
        bounds = np.full((4, self.shape[0] * self.shape[1]), np.nan)
        bounds[:2, which], bounds[2:, over] = ends[:, : len(which)], ends[:, len(which) :]
        basis = np.array([BASES.index(each.basis) for each in found[: len(which)]], dtype=np.int8)
        return bounds[:, which], basis

    def _at_signs(self, which: Places) -> Array:
        """The limits at the two corners that the effects of single tolerances point to, near the nominal values."""
        over = which[self.over[which % self.shape[1]]]
        effects: Array = self._mean([self._effects(run, which) for run in self.runs])
        lower, upper, factors = corner_settings(effects, self.parts)
        ends = self._at(np.tile(which, 2), np.concatenate([lower, upper]), factors).reshape(2, -1)
        bounds = np.full((4, self.shape[0] * self.shape[1]), np.nan)
        bounds[0, which], bounds[1, which] = ends.min(axis=0), ends.max(axis=0)
        if len(over):
            effects = self._mean(
                [self._effects(run, over) - self._effects(run, run.posts.ravel()[over]) for run in self.runs]
            )
            lower, upper, factors = corner_settings(effects, self.parts)
            ends = self._over(np.tile(over, 2), np.concatenate([lower, upper]), factors).reshape(2, -1)
            bounds[2, over], bounds[3, over] = ends.min(axis=0), ends.max(axis=0)
        return bounds[:, which]

    def _effects(self, run: Run, which: Places) -> Array:
        """How each reading moves with each tolerance, over its whole width (measurements × params)."""
        follows = np.zeros((len(run.levels.follows), len(self.params)))
        follows[np.arange(len(follows)), run.levels.follows] = 1.0
        per_part: Array = run.levels.slopes[which] @ follows
        return np.asarray(per_part * (self.parts[:, 1] - self.parts[:, 0]))

    def _at(self, which: Places, settings: Places, factors: Array) -> Array:
        """Readings at settings of the tolerances."""
        return self._read([run.levels.at(which, settings, factors) for run in self.runs], which)

    def _over(self, which: Places, settings: Places, factors: Array) -> Array:
        """Readings at settings of the tolerances, less the voltage at the battery's posts."""
        both = [
            run.levels.at(np.concatenate([which, run.posts.ravel()[which]]), np.tile(settings, 2), factors)
            for run in self.runs
        ]
        posts = self._mean([levels[len(which) :] for levels in both])
        return self._read([levels[: len(which)] for levels in both], which) - posts

    def _mean(self, tables: Sequence[Array]) -> Array:
        """The average of both halves by their shares of the time."""
        return np.asarray(sum(share * table for share, table in zip(self.shares, tables, strict=True)))

    def _read(self, levels: Sequence[Array], which: Places) -> Array:
        """What the instruments show of the halves: the average, or what a counter counts."""
        shown = [run.shown(each, which) for run, each in zip(self.runs, levels, strict=True)]
        mean = self._mean(shown)
        columns = which % self.shape[1]
        for column, instrument in enumerate(self.runs[0].instruments):
            if instrument.unit in ("Hz", "%"):
                here = columns == column
                swing = shown[0][here] - shown[-1][here]
                high = np.where(swing > 0, self.shares[0], 1 - self.shares[0]) * 100
                mean[here] = np.where(
                    np.abs(swing) > _SWING, high if instrument.unit == "%" else self.frequency or 0.0, 0.0
                )
        return mean
