"""Solving a netlist: modified nodal analysis on NumPy, many sets of values at once.

The linear part is solved once per set of values, together with one column for each diode and each meter; what is left
is a small system of as many equations as there are diodes, which Newton's method solves for all meters together. A
result is accepted only when the last step and the rest of the equations are both small; otherwise it is NaN.
"""

from __future__ import annotations

import math
from collections import defaultdict, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from authorkit.circuit.devices.lights import THERMAL
from authorkit.circuit.netlist import CHASSIS, INSULATION, OPEN, Element, Netlist, Toggle

Array = NDArray[np.float64]

_ROUNDS = 24  # of toggles, before they are said to chatter
_STEPS = 200  # of Newton
_STEP_DONE = 1e-10  # V
_REST_DONE = 1e-8  # V, relative to the port's own resistance


@dataclass(frozen=True)
class Meter:
    """An instrument between two nodes: `ohms` inside (infinite: it draws nothing) in series with its own `volts`."""

    a: str
    b: str
    ohms: float
    volts: float = 0.0


@dataclass(frozen=True)
class Settled:
    """A netlist whose fuses, relays and lamps have come to rest.

    `thrown` names the toggles that are thrown; `status` is 'settled', or 'chatter' where they never come to rest and
    'not converged' where a solution was not found.
    """

    netlist: Netlist
    thrown: frozenset[str]
    status: str = "settled"


class System:
    """The equations of a netlist, ready for any set of element values."""

    def __init__(self, netlist: Netlist) -> None:
        """Number the unknowns: node voltages, then the currents of sources and joints."""
        self.elements = netlist.elements
        self.nodes = {node: index for index, node in enumerate(netlist.nodes)}
        own = [index for index, element in enumerate(self.elements) if element.kind == "V" or element.branch]
        self.own = {index: len(self.nodes) + place for place, index in enumerate(own)}
        self.size = len(self.nodes) + len(own)
        self.diodes = [index for index, element in enumerate(self.elements) if element.kind == "D"]
        self.names = {element.name: index for index, element in enumerate(self.elements)}
        self.nominal = np.array([element.value for element in self.elements])
        self.params = [param.name for param in netlist.params]
        self.base = np.array([param.nominal for param in netlist.params])
        places = {name: place for place, name in enumerate(self.params)}
        self.scale = np.array([places.get(element.param, -1) for element in self.elements], dtype=int)

    def values(self, params: Array) -> Array:
        """Element values (sets × elements) for parameter values (sets × params)."""
        factors = np.ones((params.shape[0], len(self.params) + 1))
        factors[:, :-1] = params / self.base
        return np.asarray(self.nominal * factors[:, self.scale])

    def column(self, a: str, b: str) -> Array:
        """The incidence of a port from a to b."""
        column = np.zeros(self.size)
        for node, sign in ((a, 1.0), (b, -1.0)):
            if node != CHASSIS:
                column[self.nodes[node]] += sign
        return column

    def matrices(self, values: Array) -> tuple[Array, Array]:
        """The equations A x = b for each set of values. What is open in one set is open in all."""
        a, b = np.repeat(self._template()[None], len(values), axis=0), np.zeros((len(values), self.size))
        joints = np.array([i for i in self.own if self.elements[i].kind == "R" and self.nominal[i] < OPEN], dtype=int)
        rows = np.array([self.own[index] for index in joints], dtype=int)
        a[:, rows, rows] = -values[:, joints]
        for index, element in enumerate(self.elements):
            if element.kind == "V":
                b[:, self.own[index]] = values[:, index]
            elif element.kind == "I":
                b -= np.outer(values[:, index], self.column(element.a, element.b))
            elif element.kind == "R" and index not in self.own and element.value < OPEN:
                port = self.column(element.a, element.b)
                touched = np.flatnonzero(port)
                signs = np.outer(port[touched], port[touched])
                a[:, touched[:, None], touched[None, :]] += signs / values[:, index, None, None]
        return a, b

    def _template(self) -> Array:
        """What no value changes: insulation, and a row and a column for each current of its own.

        The row says v(a) − v(b) = volts for a source, v(a) − v(b) − R i = 0 for a joint, and i = 0 for an open one.
        """
        a = np.zeros((self.size, self.size))
        places = np.arange(len(self.nodes))
        a[places, places] = 1 / INSULATION
        for index, row in self.own.items():
            element = self.elements[index]
            port = self.column(element.a, element.b)
            a[:, row] += port
            if element.kind == "R" and element.value >= OPEN:
                a[row, row] = 1.0
                continue
            a[row, :] += port
            if element.gain:
                a[row, :] -= element.gain * self.column(*element.control)
        return a


@dataclass(frozen=True)
class Solution:
    """Unknowns (sets × unknowns) without a meter, and voltages across the meters (sets × meters); NaN: not found."""

    system: System
    unknowns: Array
    meters: Array

    def volts(self, a: str, b: str = CHASSIS) -> Array:
        """The voltage from b to a for each set."""
        return np.asarray(self.unknowns @ self.system.column(a, b))

    def amps(self, name: str) -> Array:
        """The current through a source or joint, from its a to its b, for each set. Raises KeyError for others."""
        return self.unknowns[:, self.system.own[self.system.names[name]]]


def solve(netlist: Netlist, meters: Sequence[Meter] = (), params: Array | None = None) -> Solution:
    """Solve for each set of parameter values (None: the nominal ones), toggles as they stand.

    A matrix that has no solution (contradicting ideal sources) gives NaN.
    """
    system = System(netlist)
    sets = np.array([[param.nominal for param in netlist.params]]) if params is None else params
    values = system.values(sets)
    a, b = system.matrices(values)
    ends = [(system.elements[index].a, system.elements[index].b) for index in system.diodes]
    ports = np.array([system.column(*pair) for pair in (*ends, *((m.a, m.b) for m in meters))])
    ports = ports.reshape(-1, system.size).T
    sides = np.concatenate([b[:, :, None], np.broadcast_to(ports, (len(b), *ports.shape))], axis=2)
    found = _solved(a, sides)
    resting, columns = found[:, :, 0], found[:, :, 1:]
    opened = resting @ ports
    across = np.einsum("np,snq->spq", ports, columns)
    diodes = _Diodes(system, values)
    alone = diodes.currents(opened, across, None)
    unknowns = resting - np.einsum("snq,sq->sn", columns[:, :, : len(system.diodes)], alone)
    readings = np.full((len(b), len(meters)), np.nan)
    for place, meter in enumerate(meters):
        readings[:, place] = _metered(diodes, opened, across, (len(system.diodes) + place, meter))
    return Solution(system, unknowns, readings)


def _solved(a: Array, sides: Array) -> Array:
    try:
        found = np.linalg.solve(a, sides)
    except np.linalg.LinAlgError:
        return np.full_like(sides, np.nan)
    rest = np.abs(a @ found - sides).max(axis=(1, 2))
    found[~(rest < 1e-6)] = np.nan
    return np.asarray(found)


def _metered(diodes: _Diodes, opened: Array, across: Array, port: tuple[int, Meter]) -> Array:
    """The voltage across one meter in each set: the meter is folded into the ports of the diodes first."""
    place, meter = port
    count = len(diodes.indices)
    currents = diodes.currents(opened, across, port)
    drop = np.einsum("sq,sq->s", across[:, place, :count], currents) if count else 0.0
    if math.isinf(meter.ohms):
        return np.asarray(opened[:, place] - drop)
    amps = (opened[:, place] - drop - meter.volts) / (meter.ohms + across[:, place, place])
    return np.asarray(meter.volts + amps * meter.ohms)


class _Diodes:
    """The diodes of a system: Newton's method on their ports."""

    def __init__(self, system: System, values: Array) -> None:
        self.indices = system.diodes
        self.saturation = values[:, self.indices]
        self.scale = np.array([system.elements[index].emission * THERMAL for index in self.indices])

    def currents(self, opened: Array, across: Array, port: tuple[int, Meter] | None) -> Array:
        """The diodes' currents (sets × diodes) with one meter connected, or none. NaN where none were found."""
        count = len(self.indices)
        if not count:
            return np.zeros((len(opened), 0))
        v0, z = opened[:, :count], across[:, :count, :count]
        if port is not None:
            place, meter = port
            inside = meter.ohms + across[:, place, place]
            v0 = v0 - across[:, :count, place] * ((opened[:, place] - meter.volts) / inside)[:, None]
            z = z - across[:, :count, place, None] * across[:, None, place, :count] / inside[:, None, None]
        return self._newton(v0, z)

    def _newton(self, v0: Array, z: Array) -> Array:
        critical = self.scale * np.log(self.scale / (math.sqrt(2) * self.saturation))
        v = np.minimum(v0, critical)
        eye = np.eye(v.shape[1])
        done = np.zeros(len(v), dtype=bool)
        for _ in range(_STEPS):
            amps, slope = self._law(v)
            rest = v - v0 + np.einsum("spq,sq->sp", z, amps)
            try:
                step = np.linalg.solve(eye + z * slope[:, None, :], -rest[:, :, None])[:, :, 0]
            except np.linalg.LinAlgError:
                break
            after = self._limited(v + step, v, critical)
            diagonal = 1 + np.einsum("spp->sp", z) * slope
            small = (np.abs(after - v) < _STEP_DONE) & (np.abs(rest) / diagonal < _REST_DONE)
            v = np.where(done[:, None], v, after)
            done |= small.all(axis=1)
            if done.all():
                break
        amps = self._law(v)[0]
        amps[~done] = np.nan
        return amps

    def _law(self, v: Array) -> tuple[Array, Array]:
        """Shockley's law: current and slope."""
        grown = np.exp(np.clip(v / self.scale, -200.0, 200.0))
        return self.saturation * (grown - 1), self.saturation * grown / self.scale

    def _limited(self, after: Array, before: Array, critical: Array) -> Array:
        """Junction limiting: above the knee a step grows like the logarithm of what Newton asks for."""
        leap = np.maximum((after - before) / self.scale, -0.999999)
        high = (after > critical) & (np.abs(after - before) > 2 * self.scale)
        grown = np.where(
            before > 0,
            before + self.scale * np.log1p(leap),
            self.scale * np.log(np.maximum(after, 1e-12) / self.scale),
        )
        falling = high & (before > 0) & (leap <= -0.999)
        return np.where(falling, critical, np.where(high, grown, after))


def settle(netlist: Netlist) -> Settled:
    """Let fuses, relays, lamps and supplies move until nothing moves any more, at nominal values.

    Fuses blow one after the other, the most overloaded first, each only when all else is at rest.
    """
    thrown = frozenset(toggle.name for toggle in netlist.toggles if toggle.start)
    seen: set[frozenset[str]] = set()
    for _ in range(_ROUNDS):
        current = _set_toggles(netlist, thrown)
        solution = solve(current)
        if not np.isfinite(solution.unknowns).all():
            return Settled(current, thrown, "not converged")
        following = _next_thrown(netlist, thrown, solution)
        if following == thrown:
            return Settled(current, thrown)
        if following in seen:
            return Settled(current, thrown, "chatter")
        seen.add(thrown)
        thrown = following
    return Settled(_set_toggles(netlist, thrown), thrown, "chatter")


def stands(settled: Settled, params: Array) -> bool:
    """Whether no toggle would move for any of these sets of parameter values."""
    solution = solve(settled.netlist, (), params)
    for toggle in settled.netlist.toggles:
        sensed = _sensed(toggle, solution)
        thrown = toggle.name in settled.thrown
        moved = (sensed < toggle.fall) & (not toggle.once) if thrown else sensed > toggle.rise
        if bool(np.any(moved)):
            return False
    return True


def _set_toggles(netlist: Netlist, thrown: frozenset[str]) -> Netlist:
    values: dict[str, float] = {}
    for toggle in netlist.toggles:
        values.update(toggle.thrown if toggle.name in thrown else toggle.rest)
    elements = tuple(
        replace(element, value=values[element.name])
        if element.name in values and (element.value != values[element.name])
        else element
        for element in netlist.elements
    )
    return replace(netlist, elements=elements)


def _next_thrown(netlist: Netlist, thrown: frozenset[str], solution: Solution) -> frozenset[str]:
    """Which toggles are thrown after this solution."""
    after = set(thrown)
    fuses: list[tuple[float, str]] = []
    for toggle in netlist.toggles:
        sensed = float(_sensed(toggle, solution)[0])
        if toggle.once:
            if toggle.name not in thrown and sensed > toggle.rise:
                fuses.append((sensed / toggle.rise, toggle.name))
        elif toggle.name in thrown and sensed < toggle.fall:
            after.discard(toggle.name)
        elif toggle.name not in thrown and sensed > toggle.rise:
            after.add(toggle.name)
    if after == thrown and fuses:
        after.add(max(fuses)[1])
    return frozenset(after)


def _sensed(toggle: Toggle, solution: Solution) -> Array:
    value = solution.amps(toggle.sense) if toggle.sense else solution.volts(*toggle.across)
    return value if toggle.signed else np.abs(value)


def islands(netlist: Netlist) -> Mapping[str, int]:
    """Which nodes hang together other than through insulation: a number for each node, 0 for the body's own.

    Sources and diodes join their nodes, resistors where they are not open, current sources do not.
    """
    joined: dict[str, list[str]] = defaultdict(list)
    for element in netlist.elements:
        if _joins(element):
            joined[element.a].append(element.b)
            joined[element.b].append(element.a)
    found: dict[str, int] = {}
    for number, start in enumerate((CHASSIS, *netlist.nodes)):
        queue = deque([start] if start not in found else [])
        while queue:
            node = queue.popleft()
            if node not in found:
                found[node] = number
                queue.extend(joined[node])
    return found


def _joins(element: Element) -> bool:
    return element.kind in "VD" or (element.kind == "R" and element.value < OPEN)
