"""A second way to solve a netlist, to compare with: one dense matrix for each circuit, written for plainness.

Full Newton on node voltages and branch currents, toggles in plain loops. It shares nothing with the package but the
records of a netlist.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from authorkit.circuit.devices.lights import THERMAL
from authorkit.circuit.netlist import CHASSIS, INSULATION, OPEN, Element, Netlist, Toggle


@dataclass(frozen=True)
class Found:
    """Node voltages, and currents of sources and closed resistors."""

    volts: Mapping[str, float]
    amps: Mapping[str, float]


def solve_directly(netlist: Netlist, factors: Mapping[str, float] | None = None) -> Found:
    """Node voltages and branch currents, the elements of some parameters multiplied by a factor."""
    factors = factors or {}
    elements = [replace(each, value=each.value * factors.get(each.param, 1.0)) for each in netlist.elements]
    elements = [each for each in elements if not (each.kind == "R" and each.value >= OPEN)]
    nodes = {node: place for place, node in enumerate(netlist.nodes)}
    own = {each.name: len(nodes) + place for place, each in enumerate(e for e in elements if e.kind in "RV")}
    linear, right = _linear(elements, nodes, own)
    x = np.zeros(len(right))
    diodes = [each for each in elements if each.kind == "D"]
    ends = [[nodes.get(each.a, -1), nodes.get(each.b, -1)] for each in diodes]
    across = [0.0] * len(diodes)
    for _ in range(500):
        a, b = linear.copy(), right.copy()
        for place, diode in enumerate(diodes):
            _junction(a, b, (diode, ends[place], across[place]))
        after = np.append(_refined(a[:-1, :-1], b[:-1]), 0.0)
        found = [float(after[plus] - after[minus]) for plus, minus in ends]
        limited = [_limited(new, old, each) for new, old, each in zip(found, across, diodes, strict=True)]
        done = np.allclose(after, x, rtol=1e-13, atol=1e-12) and limited == found
        x, across = after, limited
        if done:
            break
    volts = {CHASSIS: 0.0, **{node: float(x[place]) for node, place in nodes.items()}}
    return Found(volts, {name: float(x[place]) for name, place in own.items()})


def _linear(elements: list[Element], nodes: dict[str, int], own: dict[str, int]) -> tuple[np.ndarray, np.ndarray]:
    size = len(nodes) + len(own)
    a, b = np.zeros((size + 1, size + 1)), np.zeros(size + 1)
    for place in nodes.values():
        a[place, place] += 1 / INSULATION
    for element in elements:
        plus, minus = nodes.get(element.a, -1), nodes.get(element.b, -1)
        if element.kind == "I":
            b[plus] -= element.value
            b[minus] += element.value
        if element.name not in own:
            continue
        row = own[element.name]
        for place, sign in ((plus, 1.0), (minus, -1.0)):
            a[row, place] += sign
            a[place, row] += sign
        if element.kind == "R":
            a[row, row] = -element.value
            continue
        b[row] = element.value
        if element.gain:
            a[row, nodes.get(element.control[0], -1)] -= element.gain
            a[row, nodes.get(element.control[1], -1)] += element.gain
    return a, b


def _refined(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    x = np.linalg.solve(a, b)
    return x + np.linalg.solve(a, b - a @ x)


def _junction(a: np.ndarray, b: np.ndarray, at: tuple[Element, list[int], float]) -> None:
    """A diode as the tangent of its curve."""
    diode, (plus, minus), volts = at
    scale = diode.emission * THERMAL
    grown = math.exp(min(max(volts / scale, -200.0), 200.0))
    slope = diode.value * grown / scale
    rest = diode.value * (grown - 1) - slope * volts
    for one, sign in ((plus, 1.0), (minus, -1.0)):
        a[one, plus] += sign * slope
        a[one, minus] -= sign * slope
        b[one] -= sign * rest


def _limited(new: float, old: float, diode: Element) -> float:
    scale = diode.emission * THERMAL
    critical = scale * math.log(scale / (math.sqrt(2) * diode.value))
    if new <= critical or abs(new - old) <= 2 * scale:
        return new
    if old <= 0:
        return scale * math.log(new / scale)
    leap = 1 + (new - old) / scale
    return old + scale * math.log(leap) if leap > 0 else critical


def settle_directly(netlist: Netlist) -> tuple[Netlist, str]:
    """The circuit with its toggles at rest, and 'settled' or 'chatter'."""
    thrown = frozenset(toggle.name for toggle in netlist.toggles if toggle.start)
    seen: list[frozenset[str]] = []
    while thrown not in seen:
        seen.append(thrown)
        current = _set(netlist, thrown)
        after = _following(current, thrown, solve_directly(current))
        if after == thrown:
            return current, "settled"
        thrown = after
    return _set(netlist, thrown), "chatter"


def _set(netlist: Netlist, thrown: frozenset[str]) -> Netlist:
    values: dict[str, float] = {}
    for toggle in netlist.toggles:
        values.update(toggle.thrown if toggle.name in thrown else toggle.rest)
    return replace(
        netlist, elements=tuple(replace(each, value=values.get(each.name, each.value)) for each in netlist.elements)
    )


def _sensed(toggle: Toggle, found: Found) -> float:
    value = found.amps.get(toggle.sense, 0.0) if toggle.sense else _volts(found, toggle.across)
    return value if toggle.signed else abs(value)


def _volts(found: Found, across: tuple[str, str]) -> float:
    return found.volts[across[0]] - found.volts[across[1]]


def _following(netlist: Netlist, thrown: frozenset[str], found: Found) -> frozenset[str]:
    after = set(thrown)
    overloaded = []
    for toggle in netlist.toggles:
        value = _sensed(toggle, found)
        if toggle.once:
            if toggle.name not in thrown and value > toggle.rise:
                overloaded.append((value / toggle.rise, toggle.name))
        elif toggle.name in thrown and value < toggle.fall:
            after.discard(toggle.name)
        elif toggle.name not in thrown and value > toggle.rise:
            after.add(toggle.name)
    if after == thrown and overloaded:
        after.add(max(overloaded)[1])
    return frozenset(after)
