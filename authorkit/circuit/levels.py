"""What probes show on variants of a circuit at rest, at nominal values and at any others within the tolerances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from authorkit.circuit.netlist import OPEN, Param
from authorkit.circuit.ports import Array, Flags, Places, Ports, Tapped, Terms, terminated
from authorkit.circuit.rest import Rest

_SLIGHT = 1e-12  # S of a junction that is not worth a term of its own


@dataclass(frozen=True)
class Probes:
    """Measurements, each on one variant, one at a time: arrays of one length.

    `rows` number the variants, `ports` the ports of the system. An instrument puts `ohms` in series with a source of
    `volts` between two nodes; infinite ohms draw nothing. Where `elements` is not −1, a clamp is put around that
    element.
    """

    rows: Places
    ports: Places
    ohms: Array
    volts: Array
    elements: Places

    def __len__(self) -> int:
        return len(self.rows)


class Levels:
    """Readings of probes: volts across them, or amperes for a clamp.

    Only the ports that count are kept: those of the elements that follow a tolerance, of diodes and of probes.
    """

    def __init__(self, rest: Rest, probes: Probes, params: Sequence[Param]) -> None:
        """`params` are the tolerances; an element that a variant has altered no longer follows its own."""
        self.rest, self.probes = rest, probes
        system = rest.system
        names = {param.name: index for index, param in enumerate(params) if param.nominal}
        follows = np.array([names.get(element.param, -1) for element in system.elements], dtype=np.intp)
        self.loose: Places = np.flatnonzero(follows >= 0)
        self.follows = follows[self.loose]
        self.diodes: Places = np.flatnonzero(system.kinds == "D")
        self.ends, self.port = np.unique(probes.ports, return_inverse=True)
        keep = np.concatenate([self.loose, self.diodes, self.ends]).astype(np.intp)
        self.ports = terminated(system.ports, system.terms(rest.values), keep)
        self.worth = rest.values[:, self.loose]
        self.fixed: Flags = rest.altered[:, self.loose] | ~(self.worth < OPEN)

    def nominal(self) -> Array:
        """What each probe shows at nominal values. NaN where nothing was found."""
        variants = Tapped(self.ports, np.arange(len(self.ports.shown)))
        return self._probed(variants, self.probes.rows, np.arange(len(self.probes)))

    def at(self, which: Places, settings: Places, factors: Array) -> Array:
        """What some probes show, each at a setting of the tolerances.

        `factors` are settings × params, by which the nominal values are multiplied.
        """
        rows = self.probes.rows[which]
        cases, case = np.unique(rows * len(factors) + settings, return_inverse=True)
        row, setting = np.divmod(cases, len(factors))
        terms = self._loosened(row, factors[setting][:, self.follows])
        return self._probed(Tapped(self.ports, row, terms), case, which)

    def unloaded(self) -> Array:
        """What each probe would show if it drew nothing."""
        return np.asarray(self._rested.shown[self.probes.rows, self._seen])

    @cached_property
    def slopes(self) -> Array:
        """How each probe's reading moves with each element that follows a tolerance, per part of its value.

        Probes × elements, near the nominal values: the element's own current times what it does to the probe.
        """
        ports, probes, seen = self._rested, self.probes, self._seen
        loose = np.arange(len(self.loose))
        inside = probes.ohms + ports.gain[probes.rows, seen, seen]
        with np.errstate(invalid="ignore"):
            drawn = np.where(np.isinf(probes.ohms), 0.0, (probes.volts - ports.shown[probes.rows, seen]) / inside)
            share = np.where(np.isinf(probes.ohms), 1.0, probes.ohms / inside)
        rows, column = probes.rows[:, None], seen[:, None]
        shown = ports.shown[rows, loose] + ports.gain[rows, loose, column] * drawn[:, None]
        effect = np.where(self.fixed[probes.rows], 0.0, self._push(shown, self.worth[probes.rows]))
        return np.asarray(effect * ports.gain[rows, column, loose] * share[:, None])

    @property
    def _seen(self) -> Places:
        """The place of each probe's port among those kept."""
        return np.asarray(len(self.loose) + len(self.diodes) + self.port)

    @cached_property
    def _rested(self) -> Ports:
        """The ports with the diodes at their nominal currents, and small changes from there."""
        count, first = len(self.diodes), len(self.loose)
        if not count:
            return self.ports
        middle = slice(first, first + count)
        amps = self.rest.junctions.currents(self.ports.shown[:, middle], self.ports.gain[:, middle, middle])
        shown = self.ports.shown - (self.ports.gain[:, :, middle] @ amps[:, :, None])[:, :, 0]
        slopes = self.rest.junctions.slopes(amps)
        bound = slopes > _SLIGHT
        if not bound.any():
            return Ports(shown, self.ports.gain)
        places = np.broadcast_to(np.arange(first, first + count), slopes.shape)
        ohms = 1 / np.where(bound, slopes, 1.0)
        # Each slope is a resistor that draws nothing at the nominal voltage.
        source = np.where(bound, shown[:, middle], 0.0)
        return terminated(Ports(shown, self.ports.gain), Terms(places, bound, ohms, source), np.arange(shown.shape[1]))

    def _push(self, shown: Array, worth: Array) -> Array:
        """What an element puts into its port for each part of its value."""
        system = self.rest.system
        kinds, is_branch = system.kinds[self.loose], system.is_branch[self.loose]
        with np.errstate(invalid="ignore", divide="ignore"):
            of_resistor = np.where(is_branch, shown * worth, shown / worth)
        return np.asarray(np.where(kinds == "R", of_resistor, np.where(kinds == "V", worth, -worth)))

    def _loosened(self, rows: Places, factors: Array) -> Terms:
        """Each element at its factor (cases × elements), as terms of its port."""
        system = self.rest.system
        kinds, is_branch = system.kinds[self.loose], system.is_branch[self.loose]
        worth, moves = self.worth[rows], ~self.fixed[rows] & (factors != 1.0)
        used = np.flatnonzero(moves.any(axis=0))
        worth, moves, factors = worth[:, used], moves[:, used], factors[:, used]
        is_resistor = kinds[used] == "R"
        with np.errstate(divide="ignore", invalid="ignore"):
            ohms = np.where(is_branch[used], -1 / (worth * (factors - 1)), worth * factors / (1 - factors))
            put = np.where(kinds[used] == "V", 1.0, -1.0) * worth * (factors - 1)
        bound = moves & is_resistor
        source = np.where(moves & ~is_resistor, put, 0.0)
        return Terms(np.broadcast_to(used, moves.shape), bound, np.where(bound, ohms, 1.0), source)

    def _probed(self, cases: Tapped, case: Places, which: Places) -> Array:
        """Some probes, each on its case of the ports, one instrument at a time."""
        tapped, probes, seen = cases.of(case), self.probes, self._seen[which][:, None]
        ohms, volts = probes.ohms[which], probes.volts[which]
        draws = np.isfinite(ohms)
        open_volts, own = tapped.shown(seen)[:, 0], tapped.gain(seen, seen)[:, 0, 0]
        inside = np.where(draws, ohms + own, 1.0)
        if len(self.diodes):
            middle = np.broadcast_to(len(self.loose) + np.arange(len(self.diodes)), (len(which), len(self.diodes)))
            to_diodes, back = tapped.gain(middle, seen)[:, :, 0], tapped.gain(seen, middle)[:, 0, :]
            drawn = np.where(draws, (volts - open_volts) / inside, 0.0)
            every = np.broadcast_to(middle[:1], (len(cases.rows), len(self.diodes)))
            resting = cases.shown(every)[case] + to_diodes * drawn[:, None]
            taken = np.where(draws, 1 / inside, 0.0)[:, None, None] * to_diodes[:, :, None] * back[:, None, :]
            amps = self.rest.junctions.currents(resting, cases.gain(every, every)[case] - taken)
            open_volts = open_volts - (back * amps).sum(axis=1)
        shown = np.where(draws, volts + (open_volts - volts) * np.where(draws, ohms, 0.0) / inside, open_volts)
        return self._clamped(shown, which)

    def _clamped(self, shown: Array, which: Places) -> Array:
        """Amperes where the probe is a clamp."""
        elements = self.probes.elements[which]
        values = self.rest.values[self.probes.rows[which], elements]
        amps = self.rest.system.amps(shown, values, elements)
        return np.where(elements >= 0, amps, shown)
