"""The part of the shared wiring that a chapter can reach, so that its circuit is gathered from that alone.

A vehicle notebook may hold thousands of wires, and every chapter hangs on a few of them. What is found here is never
too little: whatever `circuit_of` may take along, or has to look at for deciding, is in it, in the order of the book.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Protocol, TypeVar

from authorkit.circuit.harness import circuit_points, device_points, limited
from authorkit.model.point import Point
from authorkit.model.wiring import Wiring

# Parts that hold one of these devices are supplies, wherever in the part it sits.
SUPPLY_DEVICES = ("battery", "pack")


@dataclass(frozen=True)
class SharedWiring:
    """The vehicle's wiring on one series, indexed: positions of records by what leads to them.

    `lines` and `devices` are by point, `by_name` the other records by field and by the name that asks for them.
    """

    wiring: Wiring
    lines: Mapping[Point, frozenset[int]]
    wires: Mapping[int, tuple[int, ...]]
    devices: Mapping[Point, tuple[int, ...]]
    supplies: Mapping[str, tuple[int, ...]]
    by_name: Mapping[str, Mapping[str, tuple[int, ...]]]

    def near(self, own: Wiring) -> Wiring:
        """What a chapter that says `own` can reach through wires, splices, in-line connectors and devices."""
        points = set(circuit_points(own))
        lines, devices = self._reached(points, {splice.id for splice in own.splices})
        wires = [at for line in lines for at in self.wires[line]]
        plugs = {point.owner for point in points}
        bodies = self._at("connectors", plugs)
        parts = {self.wiring.connectors[at].part for at in bodies} | {body.part for body in own.connectors}
        parts |= {self.wiring.devices[at].part for at in devices} | {device.part for device in own.devices}
        parts |= {part.id for part in own.parts} | {use.part for use in own.cavities}
        devices |= {at for part in parts for at in self.supplies.get(part, ())}
        circuits = {self.wiring.wires[at].circuit for at in wires} | {wire.circuit for wire in own.wires}
        return Wiring(
            parts=_picked(self.wiring.parts, self._at("parts", parts)),
            connectors=_picked(self.wiring.connectors, bodies),
            cavities=_picked(self.wiring.cavities, self._at("cavities", plugs)),
            wires=_picked(self.wiring.wires, wires),
            devices=_picked(self.wiring.devices, devices),
            splices=_picked(self.wiring.splices, self._at("splices", plugs)),
            grounds=_picked(self.wiring.grounds, self._at("grounds", plugs)),
            feeds=_picked(self.wiring.feeds, self._at("feeds", plugs)),
            pairs=_picked(self.wiring.pairs, self._at("pairs", circuits)),
            shields=_picked(self.wiring.shields, self._at("shields", circuits)),
        )

    def _reached(self, points: set[Point], splices: set[str]) -> tuple[set[int], set[int]]:
        """The written lines and the devices that points lead to, step by step; the points grow with them."""
        lines: set[int] = set()
        devices: set[int] = set()
        waiting = list(points)
        while waiting:
            point = waiting.pop()
            new: set[Point] = set()
            if point.is_cavity or point.owner in splices or point.owner in self.by_name["splices"]:
                for line in self.lines.get(point, frozenset()) - lines:
                    lines.add(line)
                    new.update(end for at in self.wires[line] for end in self.wiring.wires[at].ends)
            if point.is_cavity:
                for at in set(self.devices.get(point, ())) - devices:
                    devices.add(at)
                    new.update(device_points(self.wiring.devices[at]))
            new -= points
            points |= new
            waiting += new
        return lines, devices

    def _at(self, field: str, names: Iterable[str]) -> set[int]:
        known = self.by_name[field]
        return {at for name in names for at in known.get(name, ())}


def shared_wiring(wiring: Wiring, series: str | None) -> SharedWiring:
    """The index of the vehicle's wiring on a series, or on all (None).

    The last few are remembered, for one is asked for with every chapter.
    """
    for known, name, index in _remembered:
        if known is wiring and name == series:
            return index
    index = _index(wiring if series is None else limited(wiring, series))
    _remembered.insert(0, (wiring, series, index))
    del _remembered[_MOST:]
    return index


_MOST = 16
_remembered: list[tuple[Wiring, str | None, SharedWiring]] = []

_Item = TypeVar("_Item")


class _OfCircuits(Protocol):
    @property
    def circuits(self) -> tuple[str, ...]: ...


def _index(wiring: Wiring) -> SharedWiring:
    lines: dict[Point, set[int]] = defaultdict(set)
    wires: dict[int, list[int]] = defaultdict(list)
    for at, wire in enumerate(wiring.wires):
        wires[wire.chain].append(at)
        for end in wire.ends:
            lines[end].add(wire.chain)
    named = {
        field.name: _positions((item.id,) for item in getattr(wiring, field.name))
        for field in fields(wiring)
        if field.name in ("parts", "connectors", "splices", "grounds", "feeds")
    }
    return SharedWiring(
        wiring=wiring,
        lines={point: frozenset(found) for point, found in lines.items()},
        wires={line: tuple(found) for line, found in wires.items()},
        devices=_positions(map(device_points, wiring.devices)),
        supplies=_positions((device.part,) if device.kind in SUPPLY_DEVICES else () for device in wiring.devices),
        by_name={
            **named,
            "cavities": _positions((use.point.owner,) for use in wiring.cavities),
            "pairs": _positions(map(_circuits, wiring.pairs)),
            "shields": _positions(map(_circuits, wiring.shields)),
        },
    )


def _circuits(item: _OfCircuits) -> tuple[str, ...]:
    return item.circuits


_Key = TypeVar("_Key")


def _positions(keys: Iterable[Iterable[_Key]]) -> dict[_Key, tuple[int, ...]]:
    """For each key the positions of the items that have it."""
    found: dict[_Key, list[int]] = defaultdict(list)
    for at, names in enumerate(keys):
        for name in dict.fromkeys(names):
            found[name].append(at)
    return {key: tuple(positions) for key, positions in found.items()}


def _picked(items: tuple[_Item, ...], positions: Iterable[int]) -> tuple[_Item, ...]:
    return tuple(items[at] for at in sorted(set(positions)))
