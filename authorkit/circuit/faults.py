"""Every single fault of a circuit, with an id that stays and a plain sentence; and the change that each one makes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from authorkit.circuit.expansion import device_names, wire_names
from authorkit.circuit.harness import fuse_id
from authorkit.circuit.netlist import (
    BATTERY,
    CHASSIS,
    OPEN,
    Change,
    Netlist,
    changed,
    joint,
)
from authorkit.circuit.site import SHORT
from authorkit.model.point import Point, parse_point
from authorkit.model.wiring import Device, Wire, Wiring

# A corroded contact, where nothing else is told: common practice for a fault worth finding.
CORRODED = 100.0  # Ω


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong.

    `kind` is one of KINDS, `target` the element, device or node it sits at, `other` the second one of a short or swap,
    `at` the point of a wire's end. `blames` are the names that a verdict may give and be right, the plainest one first:
    'K131', 'K131 at X12', 'X12.4', 'B5', 'F4', 'G1'; `accused` is the first of them.
    """

    id: str
    sentence: str
    kind: str
    target: str
    other: str = ""
    at: str = ""
    blames: tuple[str, ...] = ()

    @property
    def accused(self) -> str:
        """The plainest name of what is at fault; '' where there is none."""
        return self.blames[0] if self.blames else ""


KINDS = ("open", "added resistance", "short to ground", "short to battery", "short", "swapped", "lost", "device")


def faults_of(wiring: Wiring, netlists: Sequence[Netlist]) -> tuple[Fault, ...]:
    """The faults of one chapter's circuit on one series, each once, in the order of the wiring.

    `netlists` are the sound circuit in all states that are looked at: a device that a state leaves out may be told in
    another one. Raises IndexError without any.
    """
    first = netlists[0]
    found = [
        *_wire_faults(wiring, first),
        *_contact_faults(wiring, first),
        *_shorts(wiring, first),
        *_swaps(wiring),
        *_supply_faults(first),
    ]
    found += [fault for netlist in netlists for fault in _device_faults(wiring, netlist)]
    by_id: dict[str, Fault] = {}
    for fault in found:
        by_id.setdefault(fault.id, fault)
    return tuple(by_id.values())


def with_fault(netlist: Netlist, fault: Fault) -> Netlist:
    """The circuit with the fault in it, before its toggles are settled."""
    return changed(netlist, change_of(netlist, fault))


def change_of(netlist: Netlist, fault: Fault) -> Change:
    """What a fault changes in a circuit.

    A fault of something that this state leaves out (a device that cannot be worked out here) changes nothing.
    """
    if fault.kind == "device":
        modes = netlist.modes.get(fault.target, ())
        return next((mode.change for mode in modes if mode.word == fault.at), Change())
    if fault.kind == "swapped":
        return _swapped(netlist, fault.target, fault.other)
    if fault.kind in ("short to ground", "short to battery", "short"):
        return Change(added=(joint(f"fault:{fault.id}", (fault.target, fault.other), SHORT),))
    ohms = netlist.element(fault.target).value
    return Change({fault.target: ohms + CORRODED if fault.kind == "added resistance" else OPEN})


def _wire_faults(wiring: Wiring, netlist: Netlist) -> Iterator[Fault]:
    for name, wire in wire_names(wiring):
        ends, circuit = [str(end) for end in wire.ends], wire.circuit
        between = f"between {ends[0]} and {ends[1]}"
        for point, end, other in zip(wire.ends, ends, reversed(ends), strict=True):
            blames = (circuit, *_at(circuit, point), *([] if point.is_cavity else [end]))
            identity = _id("open", circuit, end, *([other] if other != end else []))
            yield Fault(identity, f"Wire {circuit} {between} is open at {end}.", "open", name, at=end, blames=blames)
        blames = (circuit, *_at(circuit, wire.ends[0]), *_at(circuit, wire.ends[1]))
        identity = _id("resistance", circuit, *ends)
        words = f"Wire {circuit} {between} has {CORRODED:.0f} Ω of added resistance."
        yield Fault(identity, words, "added resistance", name, at=ends[0], blames=tuple(dict.fromkeys(blames)))
        node = netlist.element(name).a
        for kind, rail in (("short to ground", CHASSIS), ("short to battery", BATTERY)):
            words = f"Wire {circuit} {between} has a {kind}."
            yield Fault(_id(kind, circuit, *ends), words, kind, node, rail, blames=(circuit,))


def _at(circuit: str, point: Point) -> tuple[str, ...]:
    """'K131 at X12', 'K131 at X12.4': a wire at the point where it ends."""
    return tuple(dict.fromkeys((f"{circuit} at {point.owner}", f"{circuit} at {point}")))


def _contact_faults(wiring: Wiring, netlist: Netlist) -> Iterator[Fault]:
    """The mated terminals of each cavity."""
    circuits = _circuits(wiring)
    for element in netlist.elements:
        kind, _, point = element.name.partition(":")
        if kind == "contact":
            blames = _blames_of_cavity(parse_point(point), circuits)
            words = f"The terminals in {point} do not touch."
            yield Fault(_id("contact-open", point), words, "open", element.name, at=point, blames=blames)
            words = f"The terminals in {point} are corroded ({CORRODED:.0f} Ω)."
            identity = _id("contact-resistance", point)
            yield Fault(identity, words, "added resistance", element.name, at=point, blames=blames)


def _circuits(wiring: Wiring) -> Mapping[Point, tuple[str, ...]]:
    """The circuit names at each point."""
    found: dict[Point, dict[str, None]] = {}
    for wire in wiring.wires:
        for end in wire.ends:
            found.setdefault(end, {})[wire.circuit] = None
    return {point: tuple(names) for point, names in found.items()}


def _blames_of_cavity(point: Point, circuits: Mapping[Point, tuple[str, ...]]) -> tuple[str, ...]:
    """A cavity, its connector, and each wire that ends there."""
    wires = circuits.get(point, ())
    return (str(point), point.owner, *wires, *(name for circuit in wires for name in _at(circuit, point)))


def _shorts(wiring: Wiring, netlist: Netlist) -> Iterator[Fault]:
    """Between wires that are twisted together, and between neighbours of one connector."""
    nodes = {wire.circuit: netlist.element(name).a for name, wire in reversed(wire_names(wiring))}
    for pair in wiring.pairs:
        first, second = pair.circuits
        if first in nodes and second in nodes:
            words = f"Wires {first} and {second} are shorted to each other."
            yield Fault(_id("short", first, second), words, "short", nodes[first], nodes[second], blames=pair.circuits)
    circuits = _circuits(wiring)
    for one, two in _neighbours(wiring):
        words, blames = f"Cavities {one} and {two} are bridged.", _blames_of_both(one, two, circuits)
        identity = _id("bridge", str(one), str(two))
        yield Fault(identity, words, "short", str(one), str(two), at=str(one), blames=blames)


def _blames_of_both(one: Point, two: Point, circuits: Mapping[Point, tuple[str, ...]]) -> tuple[str, ...]:
    """Two cavities of one connector, the connector first."""
    names = [_blames_of_cavity(point, circuits) for point in (one, two)]
    return tuple(dict.fromkeys((one.owner, *names[0], *names[1])))


def _neighbours(wiring: Wiring) -> Iterator[tuple[Point, Point]]:
    """Wired cavities side by side or one above the other."""
    wired = {end for wire in wiring.wires for end in wire.ends}
    for connector in wiring.connectors:
        places = {
            Point(connector.id, cavity): (row, column)
            for row, cavities in enumerate(connector.rows)
            for column, cavity in enumerate(cavities)
            if cavity and Point(connector.id, cavity) in wired
        }
        for one, two in combinations(places, 2):
            (r1, c1), (r2, c2) = places[one], places[two]
            if abs(r1 - r2) + abs(c1 - c2) == 1:
                yield one, two


def _swaps(wiring: Wiring) -> Iterator[Fault]:
    """Two wires put into each other's cavity, neighbours of one connector of a part."""
    plain = {connector.id for connector in wiring.connectors if connector.part}
    ends: dict[Point, list[Wire]] = {}
    for wire in wiring.wires:
        for end in wire.ends:
            ends.setdefault(end, []).append(wire)
    names, circuits = {id(wire): name for name, wire in wire_names(wiring)}, _circuits(wiring)
    for one, two in _neighbours(wiring):
        if one.owner in plain and len(ends[one]) == len(ends[two]) == 1 and ends[one][0] is not ends[two][0]:
            identity, words = _id("swapped", str(one), str(two)), f"The wires in {one} and {two} are swapped."
            first, second = (f"{names[id(ends[point][0])]}|{point}" for point in (one, two))
            blames = _blames_of_both(one, two, circuits)
            yield Fault(identity, words, "swapped", first, second, str(one), blames)


def _swapped(netlist: Netlist, one: str, two: str) -> Change:
    """Each of two wires in the other's cavity: where they were they are open, and a new one lies between other ends."""
    (first, here), (second, there) = one.split("|"), two.split("|")
    added = []
    for name, old, new in ((first, here, there), (second, there, here)):
        wire = netlist.element(name)
        ends = tuple(new if end == old else end for end in (wire.a, wire.b))
        added.append(joint(f"{name}~{new}", (ends[0], ends[1]), wire.value))
    moved = {first: added[0].name, second: added[1].name}
    return Change({first: OPEN, second: OPEN}, tuple(added), moved=moved)


def _supply_faults(netlist: Netlist) -> Iterator[Fault]:
    for element in netlist.elements:
        kind, _, name = element.name.partition(":")
        if kind == "ground":
            words = f"Ground point {name} has no contact with the body."
            yield Fault(_id("lost", name), words, "lost", element.name, blames=(name,))
        if kind == "feed" and element.kind == "R":
            yield Fault(_id("lost", name), f"Feed {name} is dead.", "lost", element.name, blames=(name,))


def _device_faults(wiring: Wiring, netlist: Netlist) -> Iterator[Fault]:
    for name, device in device_names(wiring):
        for mode in netlist.modes.get(name, ()):
            identity = _id(mode.word, *name.split(":"))
            yield Fault(identity, f"{mode.words}.", "device", name, at=mode.word, blames=_blames_of_device(device))


def _blames_of_device(device: Device) -> tuple[str, ...]:
    """The fuse itself, not its box; the part of anything else, and the name that the device has in it."""
    if device.kind == "fuse":
        return (fuse_id(device),)
    return (device.part, *([device.name] if device.name and device.name != device.part else []))


_NOT_ID = re.compile(r"[^A-Za-z0-9+.]+")


def _id(*words: str) -> str:
    """A name for the command line and for links: 'open-K131-B5.1-X12.4'."""
    return "-".join(_NOT_ID.sub("-", word).strip("-") for word in words)


def find_fault(faults: Iterable[Fault], identity: str) -> Fault | None:
    """The fault of that id, or None."""
    return next((fault for fault in faults if fault.id == identity), None)
