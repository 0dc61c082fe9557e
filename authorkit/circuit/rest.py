"""Letting fuses, relays, lamps and supplies come to rest: one circuit, many variants of it at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from authorkit.circuit.junctions import Junctions, junctions_of
from authorkit.circuit.netlist import OPEN, Change, Netlist, Toggle
from authorkit.circuit.ports import Array, Flags, Places, System, base_values, terminated

_ROUNDS = 24  # of toggles, before they are said to chatter
SETTLED, NOT_CONVERGED, CHATTER = "settled", "not converged", "chatter"


@dataclass(frozen=True)
class Rest:
    """Variants of a circuit whose toggles have come to rest.

    `values` are the elements' values (variants × elements), `altered` tells which of them the variant itself changes,
    `thrown` which toggles are thrown (variants × toggles), `sensed` what moves each of them in the end (amperes or
    volts). `status` is 'settled', 'chatter' where they never come to rest, or 'not converged' where a solution was not
    found.
    """

    system: System
    junctions: Junctions
    toggles: tuple[Toggle, ...]
    values: Array
    altered: Flags
    thrown: Flags
    sensed: Array
    status: tuple[str, ...]

    @property
    def blown(self) -> Flags:
        """In which variants a fuse has opened."""
        once = [place for place, toggle in enumerate(self.toggles) if toggle.once]
        return np.asarray(self.thrown[:, once].any(axis=1))


def with_additions(netlist: Netlist, changes: Sequence[Change]) -> Netlist:
    """The circuit with everything that some change adds, open. Raises ValueError for two things of one name."""
    added = {replace(element, value=OPEN) for change in changes for element in change.added}
    whole = (*netlist.elements, *sorted(added, key=lambda element: element.name))
    if len({element.name for element in whole}) < len(whole):
        raise ValueError("two different elements of one name are added to a circuit")
    return replace(netlist, elements=whole)


def at_rest(netlist: Netlist, changes: Sequence[Change], pairs: Sequence[tuple[str, str]] = ()) -> Rest:
    """Let each variant of a circuit come to rest at nominal values; `pairs` of nodes become ports of the system.

    Fuses blow one after the other, the most overloaded first, each only when all else is at rest.
    """
    whole = with_additions(netlist, changes)
    toggles = netlist.toggles
    sensed = [toggle.across for toggle in toggles if not toggle.sense]
    values, frozen = _changed_values(whole, changes, toggles)
    altered = values != base_values(whole.elements)
    start = np.array([toggle.start for toggle in toggles], dtype=bool)
    setting = _Toggling(whole, toggles, frozen, altered)
    thrown = np.where(frozen, False, np.tile(start, (len(changes), 1)))
    base = base_values(whole.elements)[None]
    system = System(
        whole, setting.set(base, start[None], np.zeros((1, len(toggles)), dtype=bool))[0], (*pairs, *sensed)
    )
    setting.system, setting.first_pair = system, len(pairs)
    return setting.run(values, thrown)


def _changed_values(whole: Netlist, changes: Sequence[Change], toggles: Sequence[Toggle]) -> tuple[Array, Flags]:
    """The values of each variant, and which toggles no longer move in it."""
    places = {element.name: place for place, element in enumerate(whole.elements)}
    numbers = {toggle.name: place for place, toggle in enumerate(toggles)}
    values = np.tile(base_values(whole.elements), (len(changes), 1))
    frozen = np.zeros((len(changes), len(toggles)), dtype=bool)
    for row, change in enumerate(changes):
        for name, value in change.values.items():
            if name in places:
                values[row, places[name]] = value
        for element in change.added:
            values[row, places[element.name]] = element.value
        for name in change.frozen:
            if name in numbers:
                frozen[row, numbers[name]] = True
    return values, frozen


class _Toggling:
    """The rounds in which toggles move, for all variants together; those at rest drop out."""

    system: System
    first_pair: int

    def __init__(self, whole: Netlist, toggles: Sequence[Toggle], frozen: Flags, altered: Flags) -> None:
        self.toggles, self.frozen, self.altered = tuple(toggles), frozen, altered
        self.places = {element.name: place for place, element in enumerate(whole.elements)}
        self.junctions = junctions_of(whole.elements)
        self.diodes: Places = np.flatnonzero(np.array([element.kind == "D" for element in whole.elements]))
        self.rise = np.array([toggle.rise for toggle in toggles])
        self.fall = np.array([toggle.fall for toggle in toggles])
        self.once = np.array([toggle.once for toggle in toggles], dtype=bool)
        self.signed = np.array([toggle.signed for toggle in toggles], dtype=bool)

    def set(self, values: Array, thrown: Flags, frozen: Flags) -> Array:
        """Values with the toggles in their places."""
        values = values.copy()
        for number, toggle in enumerate(self.toggles):
            for name, worth in toggle.thrown.items():
                place = self.places.get(name)
                if place is not None:
                    moved = np.where(thrown[:, number], worth, toggle.rest[name])
                    values[:, place] = np.where(frozen[:, number], values[:, place], moved)
        return values

    def run(self, values: Array, thrown: Flags) -> Rest:
        """Until all are at rest, or have been where they were before."""
        status = np.full(len(values), CHATTER, dtype=object)
        left, history = np.arange(len(values)), thrown[None].copy()
        last = np.zeros((len(values), max(1, len(self.toggles))))
        for _ in range(_ROUNDS):
            now = self.set(values[left], thrown[left], self.frozen[left])
            sensed = self._sensed(now)
            last[left] = sensed
            lost = ~np.isfinite(sensed).all(axis=1)
            after = self._next(sensed, thrown[left], self.frozen[left])
            calm = (after == thrown[left]).all(axis=1)
            status[left[calm]] = SETTLED
            status[left[lost]] = NOT_CONVERGED
            again = (history[:, left] == after[None]).all(axis=2).any(axis=0)
            moving = ~(lost | calm | again)
            thrown[left[moving]] = after[moving]
            left = left[moving]
            if not len(left):
                break
            history = np.concatenate([history, thrown[None]])
        final = self.set(values, thrown, self.frozen)
        return Rest(self.system, self.junctions, self.toggles, final, self.altered, thrown, last, tuple(status))

    def _sensed(self, values: Array) -> Array:
        """What moves each toggle (variants × toggles); with at least one column, NaN where nothing was found."""
        senses, across = self._ports()
        ports = terminated(self.system.ports, self.system.terms(values), np.concatenate([self.diodes, across]))
        count = len(self.diodes)
        amps = self.junctions.currents(ports.shown[:, :count], ports.gain[:, :count, :count])
        shown = ports.shown[:, count:] - (ports.gain[:, count:, :count] @ amps[:, :, None])[:, :, 0]
        if not self.toggles:
            return np.where(np.isfinite(ports.shown).all(axis=1) & np.isfinite(amps).all(axis=1), 0.0, np.nan)[:, None]
        of_current = np.flatnonzero(senses >= 0)
        elements = senses[of_current]
        shown[:, of_current] = self.system.amps(shown[:, of_current], values[:, elements], elements)
        return np.where(self.signed, shown, np.abs(shown))

    def _ports(self) -> tuple[Places, Places]:
        """For each toggle the element whose current it senses (−1 for none), and the port to look at."""
        senses = np.array([self.places.get(toggle.sense, -1) for toggle in self.toggles], dtype=np.intp)
        pairs = self.system.pair(self.first_pair) + np.cumsum(senses < 0) - 1
        ports = np.where(senses >= 0, senses, pairs)
        return senses, ports if self.toggles else np.arange(len(self.system.elements))

    def _next(self, sensed: Array, thrown: Flags, frozen: Flags) -> Flags:
        """Which toggles are thrown after this solution."""
        if not self.toggles:
            return thrown
        rises = (sensed > self.rise) & ~thrown & ~frozen
        falls = (sensed < self.fall) & thrown & ~frozen & ~self.once
        after = (thrown | (rises & ~self.once)) & ~falls
        calm = (after == thrown).all(axis=1)
        with np.errstate(divide="ignore", invalid="ignore"):
            overload = np.where(rises & self.once, sensed / self.rise, -1.0)
        worst = overload.argmax(axis=1)
        blows = calm & (overload.max(axis=1) > 0)
        after[blows, worst[blows]] = True
        return np.asarray(after)
