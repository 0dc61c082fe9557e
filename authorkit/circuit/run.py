"""One fixed circuit with each of several changes, and meters on it: where they are put and whether they read at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from authorkit.circuit.instruments import HELD_BELOW, INSTRUMENTS, LIVE, ohms_shown
from authorkit.circuit.levels import Levels, Probes
from authorkit.circuit.measurement import STATUSES, Measurement
from authorkit.circuit.netlist import BATTERY, CHASSIS, FAR_SIDE, Change, Element, Netlist, Param, joint
from authorkit.circuit.ports import Array, Flags, Places
from authorkit.circuit.reach import Reach
from authorkit.circuit.rest import SETTLED, at_rest

_LOAD = "meter:"  # what an instrument that loads the circuit is called in it
_NUMBER = {status: number for number, status in enumerate(STATUSES)}


class Run:
    """A circuit at rest with each change, and every measurement on each (changes × measurements).

    An instrument that takes real current is a part of the circuit while it comes to rest: its measurements have a row
    of their own for each change. After the probes of the measurements come those at the battery's posts, one a row.
    """

    def __init__(
        self, netlist: Netlist, changes: Sequence[Change], measurements: Sequence[Measurement], params: Sequence[Param]
    ) -> None:
        """Bring everything to rest, and put all probes on."""
        self.netlist, self.changes, self.measurements = netlist, changes, measurements
        self.instruments = [INSTRUMENTS[each.instrument] for each in measurements]
        self.ends = [_ends(netlist, each) for each in measurements]
        self.shape = (len(changes), len(measurements))
        loads = [place for place, each in enumerate(self.instruments) if each.load and None not in self.ends[place]]
        loaded = [_with(change, self._load(place)) for change in changes for place in loads]
        pairs = [(a or CHASSIS, b or CHASSIS) for a, b in self.ends]
        self.rest = at_rest(netlist, [*changes, *loaded], [*pairs, (BATTERY, CHASSIS)])
        self.rows = np.tile(np.arange(len(changes))[:, None], (1, len(measurements)))
        if loads:
            own = np.arange(len(changes), len(changes) + len(loaded))
            self.rows[:, loads] = own.reshape(len(changes), len(loads))
        self.clamped = self._clamped()
        self.levels = Levels(self.rest, self._probes(frozenset(loads)), params)

    def _load(self, place: int) -> Element:
        a, b = self.ends[place]
        return joint(f"{_LOAD}{place}", (a or CHASSIS, b or CHASSIS), self.instruments[place].ohms)

    def _clamped(self) -> Places:
        """The element that each clamp goes around (changes × measurements); −1 for other instruments, or none."""
        system = self.rest.system
        found = np.full(self.shape, -1, dtype=np.intp)
        for column, measurement in enumerate(self.measurements):
            if measurement.instrument == "amps":
                for row, change in enumerate(self.changes):
                    name = self._wire_at(measurement.at, change)
                    found[row, column] = system.places[name] if name else -1
        return found

    def _wire_at(self, at: str, change: Change) -> str:
        """What a clamp at a point goes around: the one wire that ends there; '' where several do, or none."""
        elsewhere = {name for other in self.changes for name in other.moved.values()} - set(change.moved.values())
        ends = [
            element.name
            for element in self.rest.system.elements
            if element.name.startswith("wire:")
            and {at, f"{at}{FAR_SIDE}"} & {element.a, element.b}
            and element.name not in elsewhere
            and element.name not in change.moved
        ]
        return ends[0] if len(ends) == 1 else ""

    def _probes(self, loads: frozenset[int]) -> Probes:
        system, rows = self.rest.system, len(self.rest.values)
        pairs = system.pair(0) + np.arange(self.shape[1])
        ohms = [np.inf if place in loads else each.ohms for place, each in enumerate(self.instruments)]
        posts = np.full(rows, system.pair(self.shape[1]))
        return Probes(
            rows=np.concatenate([self.rows.ravel(), np.arange(rows)]),
            ports=np.concatenate([np.where(self.clamped >= 0, self.clamped, pairs).ravel(), posts]),
            ohms=np.concatenate([np.tile(ohms, self.shape[0]), np.full(rows, np.inf)]),
            volts=np.concatenate([np.tile([each.volts for each in self.instruments], self.shape[0]), np.zeros(rows)]),
            elements=np.concatenate([self.clamped.ravel(), np.full(rows, -1)]),
        )

    @property
    def posts(self) -> Places:
        """The probe at the battery's posts that goes with each measurement (changes × measurements)."""
        return np.asarray(self.rows + self.rows.size)

    def status(self) -> NDArray[np.intp]:
        """Whether each measurement has a number at all, and under which reserve, as a number of `STATUSES`."""
        status = np.where(self.rest.blown[self.rows], _NUMBER["fuse blown"], _NUMBER["driven"])
        passive = np.array([each.is_passive for each in self.instruments], dtype=bool)
        pulls = passive & np.array([each.ohms < HELD_BELOW for each in self.instruments], dtype=bool)
        if not passive.all():
            unloaded = self.levels.unloaded()[: self.rows.size].reshape(self.shape)
            status = np.where(~passive & (np.abs(unloaded) > LIVE), _NUMBER["live circuit"], status)
        status = np.where(self._apart() & ~pulls, np.where(passive, _NUMBER["floating"], _NUMBER["open"]), status)
        status = np.where(self._undetermined(), _NUMBER["undetermined"], status)
        unsettled = np.array([-1 if each == SETTLED else _NUMBER[each] for each in self.rest.status])[self.rows]
        return np.where(unsettled >= 0, unsettled, status)

    def _apart(self) -> Flags:
        """Where nothing but insulation joins the two points; the instrument itself does not count."""
        own = np.array([element.name.startswith(_LOAD) for element in self.rest.system.elements], dtype=bool)
        elements = [element for element, is_load in zip(self.rest.system.elements, own, strict=True) if not is_load]
        reach = Reach(elements, self.rest.values[:, ~own])
        apart = np.zeros(self.shape, dtype=bool)
        for column, (a, b) in enumerate(self.ends):
            if self.measurements[column].instrument != "amps" and a is not None and b is not None:
                apart[:, column] = ~reach.together(a, b)[self.rows[:, column]]
        return apart

    def _undetermined(self) -> Flags:
        """Where a point is not in this circuit, a clamp has no wire, or the state does not say what a device needs."""
        clamps = np.array([each.instrument == "amps" for each in self.measurements], dtype=bool)
        lost = np.array([None in ends for ends in self.ends], dtype=bool)
        return np.asarray(lost | (clamps & (self.clamped < 0)) | bool(self.netlist.gaps))

    def stands(self, params: Sequence[Param], factors: Array) -> bool:
        """Whether no toggle of the sound circuit moves at these settings of the tolerances."""
        toggles, system = self.rest.toggles, self.rest.system
        if not toggles or not len(factors):
            return True
        senses = np.array([system.places.get(toggle.sense, -1) for toggle in toggles], dtype=np.intp)
        pairs = system.pair(self.shape[1] + 1) + np.cumsum(senses < 0) - 1
        none = np.zeros(len(toggles))
        probes = Probes(none.astype(np.intp), np.where(senses >= 0, senses, pairs), none + np.inf, none, senses)
        which = np.tile(np.arange(len(toggles)), len(factors))
        settings = np.repeat(np.arange(len(factors)), len(toggles))
        sensed = Levels(self.rest, probes, params).at(which, settings, factors).reshape(-1, len(toggles))
        sensed = np.where([toggle.signed for toggle in toggles], sensed, np.abs(sensed))
        thrown = self.rest.thrown[0]
        rises = ~thrown & (sensed > [toggle.rise for toggle in toggles])
        falls = thrown & ~np.array([toggle.once for toggle in toggles]) & (sensed < [toggle.fall for toggle in toggles])
        return not bool((rises | falls).any())

    def shown(self, levels: Array, which: Places) -> Array:
        """What the instruments of some measurements (numbers of probes) show at these volts and amperes."""
        columns = which % self.shape[1]
        shown = np.array(levels)
        for column in np.unique(columns):
            instrument, here = self.instruments[column], columns == column
            if not instrument.is_passive:
                shown[here] = ohms_shown(instrument, levels[here])
            elif instrument.unit == "A":
                shown[here] = np.abs(levels[here])
        return shown


def _ends(netlist: Netlist, measurement: Measurement) -> tuple[str | None, str | None]:
    return netlist.node(measurement.at), netlist.node(measurement.to or CHASSIS)


def _with(change: Change, element: Element) -> Change:
    return replace(change, added=(*change.added, element))
