"""Every single fault of a circuit, with an id that stays and a plain sentence; and the change that each one makes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from authorkit.circuit.expansion import device_names, wire_names
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
from authorkit.model.point import Point
from authorkit.model.wiring import Wire, Wiring

# A corroded contact, where nothing else is told: common practice for a fault worth finding.
CORRODED = 100.0  # Ω


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong.

    `kind` is one of KINDS, `target` the element, device or node it sits at, `other` the second one of a short or swap,
    `at` the point of a wire's end. `accused` names what a procedure would accuse: a circuit, part, ground or fuse.
    """

    id: str
    sentence: str
    kind: str
    target: str
    other: str = ""
    at: str = ""
    accused: str = ""


KINDS = ("open", "added resistance", "short to ground", "short to battery", "short", "swapped", "lost", "device")


def faults_of(wiring: Wiring, netlists: Sequence[Netlist]) -> tuple[Fault, ...]:
    """The faults of one chapter's circuit on one series, each once, in the order of the wiring.

    `netlists` are the sound circuit in all states that are looked at: a device that a state leaves out may be told in
    another one. Raises IndexError without any.
    """
    first = netlists[0]
    found = [
        *_wire_faults(wiring, first),
        *_contact_faults(first),
        *_shorts(wiring, first),
        *_swaps(wiring, first),
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
        for end in ends:
            identity = _id("open", circuit, end, *_other_end(ends, end))
            yield Fault(identity, f"Wire {circuit} {between} is open at {end}.", "open", name, at=end, accused=circuit)
        identity = _id("resistance", circuit, *ends)
        words = f"Wire {circuit} {between} has {CORRODED:.0f} Ω of added resistance."
        yield Fault(identity, words, "added resistance", name, at=ends[0], accused=circuit)
        node = netlist.element(name).a
        for kind, rail in (("short to ground", CHASSIS), ("short to battery", BATTERY)):
            words = f"Wire {circuit} {between} has a {kind}."
            yield Fault(_id(kind, circuit, *ends), words, kind, node, rail, accused=circuit)


def _other_end(ends: list[str], end: str) -> list[str]:
    return [other for other in ends if other != end]


def _contact_faults(netlist: Netlist) -> Iterator[Fault]:
    """The mated terminals of each cavity, where they are mated in the state that is looked at."""
    for element in netlist.elements:
        kind, _, point = element.name.partition(":")
        if kind == "contact":
            yield Fault(
                _id("contact-open", point), f"The terminals in {point} do not touch.", "open", element.name, at=point
            )
            words = f"The terminals in {point} are corroded ({CORRODED:.0f} Ω)."
            yield Fault(_id("contact-resistance", point), words, "added resistance", element.name, at=point)


def _shorts(wiring: Wiring, netlist: Netlist) -> Iterator[Fault]:
    """Between wires that are twisted together, and between neighbours of one connector."""
    nodes = {wire.circuit: netlist.element(name).a for name, wire in reversed(wire_names(wiring))}
    for pair in wiring.pairs:
        first, second = pair.circuits
        if first in nodes and second in nodes:
            words = f"Wires {first} and {second} are shorted to each other."
            yield Fault(_id("short", first, second), words, "short", nodes[first], nodes[second], accused=first)
    for one, two in _neighbours(wiring):
        words = f"Cavities {one} and {two} are bridged."
        yield Fault(_id("bridge", str(one), str(two)), words, "short", str(one), str(two), at=str(one))


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


def _swaps(wiring: Wiring, netlist: Netlist) -> Iterator[Fault]:
    """Two wires put into each other's cavity, neighbours of one connector of a part."""
    plain = {connector.id for connector in wiring.connectors if connector.part}
    ends: dict[Point, list[Wire]] = {}
    for wire in wiring.wires:
        for end in wire.ends:
            ends.setdefault(end, []).append(wire)
    names = {id(wire): name for name, wire in wire_names(wiring)}
    for one, two in _neighbours(wiring):
        if one.owner in plain and len(ends[one]) == len(ends[two]) == 1 and ends[one][0] is not ends[two][0]:
            words = f"The wires in {one} and {two} are swapped."
            first, second = names[id(ends[one][0])], names[id(ends[two][0])]
            yield Fault(
                _id("swapped", str(one), str(two)), words, "swapped", f"{first}|{one}", f"{second}|{two}", str(one)
            )


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
            yield Fault(
                _id("lost", name),
                f"Ground point {name} has no contact with the body.",
                "lost",
                element.name,
                accused=name,
            )
        if kind == "feed" and element.kind == "R":
            yield Fault(_id("lost", name), f"Feed {name} is dead.", "lost", element.name, accused=name)


def _device_faults(wiring: Wiring, netlist: Netlist) -> Iterator[Fault]:
    for name, device in device_names(wiring):
        for mode in netlist.modes.get(name, ()):
            identity = _id(mode.word, *name.split(":"))
            yield Fault(identity, f"{mode.words}.", "device", name, at=mode.word, accused=device.part)


_NOT_ID = re.compile(r"[^A-Za-z0-9+.]+")


def _id(*words: str) -> str:
    """A name for the command line and for links: 'open-K131-B5.1-X12.4'."""
    return "-".join(_NOT_ID.sub("-", word).strip("-") for word in words)


def find_fault(faults: Iterable[Fault], identity: str) -> Fault | None:
    """The fault of that id, or None."""
    return next((fault for fault in faults if fault.id == identity), None)
