"""Solving one netlist: voltages, currents and what meters show, for one or many sets of values; and its toggles."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from authorkit.circuit.junctions import junctions_of
from authorkit.circuit.levels import Levels, Probes
from authorkit.circuit.netlist import CHASSIS, OPEN, Change, Element, Netlist
from authorkit.circuit.ports import Array, System, base_values
from authorkit.circuit.rest import SETTLED, Rest, at_rest


@dataclass(frozen=True)
class Meter:
    """An instrument between two nodes: `ohms` inside (infinite: it draws nothing) in series with its own `volts`."""

    a: str
    b: str
    ohms: float
    volts: float = 0.0


@dataclass(frozen=True)
class Solution:
    """Node voltages and branch currents without a meter (sets), and voltages across the meters (sets × meters).

    NaN stands where no solution was found.
    """

    nodes: Mapping[str, Array]
    branches: Mapping[str, Array]
    meters: Array

    def volts(self, a: str, b: str = CHASSIS) -> Array:
        """The voltage from b to a for each set."""
        return np.asarray(self.nodes[a] - self.nodes[b])

    def amps(self, name: str) -> Array:
        """The current through a source of voltage or a resistor, from its a to its b, for each set."""
        return self.branches[name]

    @property
    def found(self) -> bool:
        """Whether there is a solution for every set."""
        return all(bool(np.isfinite(volts).all()) for volts in self.nodes.values())


def solve(netlist: Netlist, meters: Sequence[Meter] = (), params: Array | None = None) -> Solution:
    """Solve for each set of parameter values (None: the nominal ones), toggles as they stand.

    A circuit that has no solution (contradicting ideal sources) gives NaN.
    """
    nodes, values = netlist.nodes, base_values(netlist.elements)
    system = System(netlist, values, [(node, CHASSIS) for node in nodes] + [(meter.a, meter.b) for meter in meters])
    still = np.zeros((1, 0), dtype=bool)
    altered = np.zeros((1, len(values)), dtype=bool)
    rest = Rest(system, junctions_of(netlist.elements), (), values[None], altered, still, np.zeros((1, 0)), (SETTLED,))
    clamped = np.flatnonzero(np.isin(system.kinds, ("V", "R")))
    pairs = system.pair(0) + np.arange(len(nodes) + len(meters))
    probes = Probes(
        rows=np.zeros(len(pairs) + len(clamped), dtype=np.intp),
        ports=np.concatenate([pairs, clamped]),
        ohms=np.array([*([np.inf] * len(nodes)), *(meter.ohms for meter in meters), *([np.inf] * len(clamped))]),
        volts=np.array([*([0.0] * len(nodes)), *(meter.volts for meter in meters), *([0.0] * len(clamped))]),
        elements=np.concatenate([np.full(len(pairs), -1), clamped]),
    )
    nominal = np.array([param.nominal for param in netlist.params])
    factors = np.ones((1, len(nominal))) if params is None else params / np.where(nominal == 0, 1.0, nominal)
    which = np.tile(np.arange(len(probes)), len(factors))
    shown = Levels(rest, probes, netlist.params).at(which, np.repeat(np.arange(len(factors)), len(probes)), factors)
    table = shown.reshape(len(factors), len(probes))
    voltages = {node: table[:, place] for place, node in enumerate(nodes)}
    voltages[CHASSIS] = np.zeros(len(factors))
    currents = {netlist.elements[place].name: table[:, len(pairs) + index] for index, place in enumerate(clamped)}
    return Solution(voltages, currents, table[:, len(nodes) : len(pairs)])


@dataclass(frozen=True)
class Settled:
    """A netlist whose fuses, relays and lamps have come to rest.

    `thrown` names the toggles that are thrown; `status` is as in `rest.Rest`.
    """

    netlist: Netlist
    thrown: frozenset[str]
    status: str = SETTLED


def settle(netlist: Netlist) -> Settled:
    """Let fuses, relays, lamps and supplies move until nothing moves any more, at nominal values."""
    rest = at_rest(netlist, [Change()])
    elements = tuple(
        element if element.value == value else replace(element, value=float(value))
        for element, value in zip(netlist.elements, rest.values[0], strict=True)
    )
    thrown = frozenset(toggle.name for toggle, moved in zip(rest.toggles, rest.thrown[0], strict=True) if moved)
    return Settled(replace(netlist, elements=elements), thrown, rest.status[0])


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
