"""From the facts of a circuit to what is joined to what: parts with their pins, and chains of wire between them.

No geometry here. A chain is a run of wire from one end to another; it may pass in-line connectors, where its colour
and size may change.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.wiring import Connector, Device, Part, Wire, Wiring
from authorkit.problems import Place, Problem

RULE = "drawing-incomplete"
CUT = "►"
"""Begins the name of a point where a wire is cut and goes on on another sheet: '►A 2' is mark A, to sheet 2."""


@dataclass(frozen=True)
class Pin:
    """One cavity of a part, with the signal name at this end and the number of wires that it holds."""

    point: Point
    signal: str
    wires: int


@dataclass(frozen=True)
class Unit:
    """A part with its pins in the natural order of their cavities and the devices inside it."""

    part: Part
    pins: tuple[Pin, ...]
    devices: tuple[Device, ...]

    @property
    def id(self) -> str:
        """The part's name in the book."""
        return self.part.id


@dataclass(frozen=True)
class Chain:
    """Wire sections in order from one end to the other; `cavities` are the in-line cavities between them."""

    ends: tuple[Point, Point]
    wires: tuple[Wire, ...]
    cavities: tuple[Point, ...]

    def turned(self) -> Chain:
        """The same chain from the other end."""
        return Chain((self.ends[1], self.ends[0]), self.wires[::-1], self.cavities[::-1])


@dataclass(frozen=True)
class Netlist:
    """Everything that the picture must show. `kinds` says of each point what it is: 'pin', 'in-line', 'splice',
    'ground', 'feed', 'sheet' (where a wire goes on on another sheet) or 'inner' (a spot inside a part)."""

    wiring: Wiring
    units: tuple[Unit, ...]
    chains: tuple[Chain, ...]
    kinds: Mapping[Point, str]
    problems: tuple[Problem, ...]

    def location(self, ground: str) -> str:
        """Where a ground point is bolted on."""
        return next((record.location for record in self.wiring.grounds if record.id == ground), "")


def read_netlist(wiring: Wiring) -> Netlist:
    """Sort out what each point is, and join wire sections to chains. What cannot be drawn becomes a problem."""
    problems: list[Problem] = []
    wires = [wire for wire in wiring.wires if not _is_loop(wire, problems)]
    kinds = _kinds(wiring, wires)
    chains = _chains(wires, kinds, problems)
    units = _units(wiring, wires, kinds)
    problems += _unfinished(wiring, units, wires, kinds)
    return Netlist(wiring, units, tuple(chains), kinds, tuple(problems))


def incomplete(message: str, place: Place, suggestion: str | None = None) -> Problem:
    """The finding that something of the circuit is not in the picture."""
    return Problem(RULE, message, place, suggestion=suggestion)


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A sort key that puts 2 before 10."""
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in re.split(r"(\d+)", text) if part)


def _is_loop(wire: Wire, problems: list[Problem]) -> bool:
    if wire.ends[0] != wire.ends[1]:
        return False
    problems.append(
        incomplete(
            f"Wire {wire.circuit} is not drawn: both its ends are {wire.ends[0]}.",
            wire.place,
            "Name the point where the other end goes.",
        )
    )
    return True


def _kinds(wiring: Wiring, wires: Iterable[Wire]) -> dict[Point, str]:
    """What each point of the circuit is."""
    plugs = {connector.id: connector for connector in wiring.connectors}
    owners = {use.point.owner: use.part for use in wiring.cavities if use.part}
    named = {
        **{ground.id: "ground" for ground in wiring.grounds},
        **{feed.id: "feed" for feed in wiring.feeds},
        **{splice.id: "splice" for splice in wiring.splices},
    }

    def kind(point: Point, *, inside: bool) -> str:
        if point.owner.startswith(CUT):
            return "sheet"
        if point.is_cavity:
            plug = plugs.get(point.owner)
            has_part = bool(plug.part) if plug else point.owner in owners
            return "pin" if has_part else "in-line"
        return named.get(point.owner, "inner" if inside else "splice")

    kinds = {end: kind(end, inside=False) for wire in wires for end in wire.ends}
    kinds |= {use.point: "pin" for use in wiring.cavities}
    for device in wiring.devices:
        for point in _points_of(device):
            kinds.setdefault(point, kind(point, inside=True))
    return kinds


def _points_of(device: Device) -> list[Point]:
    named = [value for _, value in sorted(device.values.items()) if isinstance(value, Point)]
    return [*device.terminals, *named]


def _chains(wires: list[Wire], kinds: Mapping[Point, str], problems: list[Problem]) -> list[Chain]:
    """Sections that meet in an in-line cavity belong to one chain."""
    at: dict[Point, list[int]] = defaultdict(list)
    for number, wire in enumerate(wires):
        for end in wire.ends:
            if kinds[end] == "in-line":
                at[end].append(number)
    for cavity, numbers in at.items():
        if len(numbers) > 2:
            problems.append(_crowded(cavity, wires[numbers[2]]))
    seen: set[int] = set()
    return [_follow(number, wires, at, seen) for number in range(len(wires)) if number not in seen]


def _crowded(cavity: Point, wire: Wire) -> Problem:
    message = f"In-line cavity {cavity} holds more than two wires, so which of them are joined there cannot be drawn."
    return incomplete(message, wire.place, "Write a splice where the wires are joined.")


def _follow(first: int, wires: list[Wire], at: Mapping[Point, list[int]], seen: set[int]) -> Chain:
    """The whole chain around one section."""
    seen.add(first)
    sections, cavities = [wires[first]], []
    ends = list(wires[first].ends)
    for side in (1, 0):
        while following := [number for number in at.get(ends[side], ()) if number not in seen]:
            if len(at[ends[side]]) != 2:
                break
            seen.add(following[0])
            wire, cavity = wires[following[0]], ends[side]
            ends[side] = wire.ends[1] if wire.ends[0] == cavity else wire.ends[0]
            if side:
                sections.append(wire)
                cavities.append(cavity)
            else:
                sections.insert(0, wire)
                cavities.insert(0, cavity)
    return Chain((ends[0], ends[1]), tuple(sections), tuple(cavities))


def _units(wiring: Wiring, wires: Iterable[Wire], kinds: Mapping[Point, str]) -> tuple[Unit, ...]:
    owner = {connector.id: connector.part for connector in wiring.connectors}
    owner |= {use.point.owner: use.part for use in wiring.cavities if use.part}
    signals = {use.point: use.signal for use in wiring.cavities}
    count: dict[Point, int] = defaultdict(int)
    for wire in wires:
        for end in wire.ends:
            count[end] += 1
    pins: dict[str, list[Pin]] = defaultdict(list)
    for point in sorted((point for point, kind in kinds.items() if kind == "pin"), key=_pin_order):
        pins[owner.get(point.owner, point.owner)].append(Pin(point, signals.get(point, ""), count[point]))
    parts = {part.id: part for part in wiring.parts}
    for name in sorted(set(pins) - set(parts)):
        parts[name] = Part(name, "", "component", _place_of(name, wiring))
    devices: dict[str, list[Device]] = defaultdict(list)
    for device in wiring.devices:
        devices[device.part].append(device)
    return tuple(Unit(part, tuple(pins[name]), tuple(devices[name])) for name, part in parts.items())


def _pin_order(point: Point) -> tuple[object, object]:
    return natural(point.owner), natural(point.cavity)


def _place_of(name: str, wiring: Wiring) -> Place:
    """Where a part that is named but not declared was named."""
    found = [use.place for use in wiring.cavities if use.part == name]
    found += [connector.place for connector in wiring.connectors if connector.part == name]
    return found[0] if found else Place("")


def _unfinished(
    wiring: Wiring, units: Iterable[Unit], wires: Iterable[Wire], kinds: Mapping[Point, str]
) -> list[Problem]:
    """Items that no picture can show as they stand."""
    problems = [
        incomplete(
            f"Part {unit.id} has no wire in this circuit, so nothing leads to it in the drawing.",
            unit.part.place,
            "Add its wires, or take it out of this circuit.",
        )
        for unit in units
        if not any(pin.wires for pin in unit.pins)
    ]
    ends = {end for wire in wires for end in wire.ends}
    touched = {point.owner for point in ends if not point.is_cavity}
    touched |= {point.owner for device in wiring.devices for point in _points_of(device)}
    plugged = {point.owner for point in kinds if point.is_cavity}
    named: list[tuple[str, str, Place, set[str]]] = [
        *(("Splice", record.id, record.place, touched) for record in wiring.splices),
        *(("Ground", record.id, record.place, touched) for record in wiring.grounds),
        *(("Feed", record.id, record.place, touched) for record in wiring.feeds),
        *(("Connector", record.id, record.place, plugged) for record in wiring.connectors),
    ]
    for word, name, place, known in named:
        if name not in known:
            problems.append(incomplete(f"{word} {name} is not drawn: no wire of this circuit leads to it.", place))
    problems += _foreign(wiring.devices, wiring.connectors, kinds)
    declared = {splice.id for splice in wiring.splices}
    for wire in wires:
        for end in wire.ends:
            if kinds[end] == "splice" and end.owner not in declared:
                message = f"'{end}' is declared neither as a splice nor as a ground or a feed; it is drawn as a splice."
                problems.append(incomplete(message, wire.place))
    return problems


def _foreign(devices: Iterable[Device], connectors: Iterable[Connector], kinds: Mapping[Point, str]) -> list[Problem]:
    """Devices whose terminals lie in another part, and kinds that have no symbol."""
    owner = {connector.id: connector.part for connector in connectors}
    problems = []
    for device in devices:
        if device.kind not in DEVICE_KINDS:
            message = f"The '{device.kind}' inside {device.part} is not drawn: there is no symbol for it."
            problems.append(incomplete(message, device.place))
        for terminal in device.terminals:
            if terminal.is_cavity and owner.get(terminal.owner, device.part) != device.part:
                where = owner[terminal.owner] or "an in-line connector"
                message = f"The {device.kind} inside {device.part} names {terminal}, which belongs to {where}."
                problems.append(incomplete(message, device.place))
    return problems
