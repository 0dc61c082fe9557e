"""The circuit of one chapter: its own facts, and from the vehicle notebook the feeds, fuses and grounds it hangs on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from authorkit.circuit.harness import Harness, absent_parts, device_points, harness_of, limited, merged
from authorkit.circuit.near import SUPPLY_DEVICES, shared_wiring
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.wiring import CavityUse, Connector, Device, Feed, Ground, Part, Splice, Wire, Wiring

# A shared run is taken along only where it leads towards a supply or the ground; a branch to another component is
# that component's business. Supplies start from these kinds of parts, and from parts that hold one of these devices.
_SUPPLY_KINDS = ("fuse box", "battery")

# Wire sections that follow each other through in-line connectors.
Run = tuple[Wire, ...]


def circuit_of(book: Book, chapter: Chapter, series: str) -> Wiring:
    """What is drawn and computed for one chapter on one series.

    The chapter's own parts, cavities, wires and devices, merged with what the vehicle notebook says of the same parts;
    then, step by step, the shared wires that lead from a cavity of this circuit to a fuse box, a battery or a ground
    point, if need be through splices and in-line connectors, and the fuses and inner links that those touch. Nothing is
    taken from other chapters.
    """
    near = shared_wiring(book.vehicle.wiring, series).near(chapter.wiring)
    absent = absent_parts((near, chapter.wiring), series)
    own = limited(chapter.wiring, series, absent)
    shared = limited(near, series, absent)
    return _Gathering(own, shared, harness_of((shared, own))).wiring()


@dataclass
class _Gathering:
    """A chapter's circuit while it is being gathered."""

    own: Wiring
    shared: Wiring
    harness: Harness

    def wiring(self) -> Wiring:
        """The whole circuit."""
        wires, devices = self._closure()
        points = _points_of(wires, devices) | self._used
        connectors = self._connectors(points)
        circuits = {wire.circuit for wire in wires}
        return Wiring(
            parts=self._parts(connectors, devices),
            connectors=connectors,
            cavities=self._cavities(points, connectors),
            wires=wires,
            devices=devices,
            splices=_named(self.harness.splices, points),
            grounds=_named(self.harness.grounds, points),
            feeds=_named(self.harness.feeds, points),
            networks=self.own.networks,
            pairs=tuple(pair for pair in _both(self.own.pairs, self.shared.pairs) if set(pair.circuits) <= circuits),
            shields=tuple(
                shield for shield in _both(self.own.shields, self.shared.shields) if set(shield.circuits) <= circuits
            ),
        )

    @cached_property
    def _used(self) -> set[Point]:
        return {use.point for use in self.own.cavities}

    @cached_property
    def _runs(self) -> list[Run]:
        return list(_runs(self.shared.wires, self.harness))

    @cached_property
    def _supplies(self) -> set[str]:
        """The parts that supplies start from."""
        kinds = {name for name, part in self.harness.whole_parts.items() if part.kind in _SUPPLY_KINDS}
        return kinds | {device.part for device in self.shared.devices if device.kind in SUPPLY_DEVICES}

    def _closure(self) -> tuple[tuple[Wire, ...], tuple[Device, ...]]:
        """The chapter's wires and devices, and the shared ones that they hang on."""
        wires, devices = list(self.own.wires), list(self.own.devices)
        runs = [run for run in self._runs if run[0] not in wires]
        others = [device for device in self.shared.devices if device not in devices]
        while True:
            points = _points_of(wires, devices) | self._used
            owners = self._owners(points)
            new_runs = [run for run in runs if self._leads_to_supply(run, points, owners)]
            new_devices = [device for device in others if _is_touched(device, points)]
            if not new_runs and not new_devices:
                return _once(wires), _once(devices)
            wires += [wire for run in new_runs for wire in run]
            devices += new_devices
            runs = [run for run in runs if not _among(run, new_runs)]
            others = [device for device in others if not _among(device, new_devices)]

    def _owners(self, points: set[Point]) -> set[str]:
        """The parts that already belong to the circuit."""
        owners = {connector.part for point in points if (connector := self.harness.connector(point.owner))}
        return owners | {part.id for part in self.own.parts}

    def _leads_to_supply(self, run: Run, points: set[Point], owners: set[str]) -> bool:
        first, last = _ends(run)
        for here, there in ((first, last), (last, first)):
            joins = here in points and (here.is_cavity or here.owner in self.harness.splices)
            if joins and self._reaches(there, [run], owners):
                return True
        return False

    def _reaches(self, point: Point, passed: list[Run], owners: set[str]) -> bool:
        """Whether this end of a run is a ground, a feed or a supply, or leads on to one through other shared runs."""
        if point.is_cavity:
            connector = self.harness.connector(point.owner)
            if connector is not None and connector.part:
                return connector.part in owners or connector.part in self._supplies
        elif point.owner not in self.harness.splices:
            return True
        onward = [run for run in self._runs if point in _ends(run) and not _among(run, passed)]
        return any(self._reaches(end, [*passed, run], owners) for run in onward for end in _ends(run) if end != point)

    def _connectors(self, points: set[Point]) -> tuple[Connector, ...]:
        names = sorted({point.owner for point in points if point.is_cavity})
        return tuple(connector for name in names if (connector := self.harness.connector(name)))

    def _parts(self, connectors: tuple[Connector, ...], devices: tuple[Device, ...]) -> tuple[Part, ...]:
        names = {connector.part for connector in connectors if connector.part}
        names |= {device.part for device in devices} | {part.id for part in self.own.parts}
        # The order in which the book names them, so that pictures follow the author's order.
        return tuple(part for name, part in self.harness.whole_parts.items() if name in names)

    def _cavities(self, points: set[Point], connectors: tuple[Connector, ...]) -> tuple[CavityUse, ...]:
        """One use for each cavity of a part; a cavity that nobody gave a signal name gets an empty one."""
        plugs = {connector.id: connector for connector in connectors if connector.part}
        uses = []
        for point in sorted(points):
            plug = plugs.get(point.owner)
            if plug is not None and point.is_cavity:
                said = self.harness.uses.get(point)
                uses.append(said[0] if said else CavityUse(point, plug.part, "", plug.place))
        return tuple(uses)


def _points_of(wires: Iterable[Wire], devices: Iterable[Device]) -> set[Point]:
    ends = {end for wire in wires for end in wire.ends}
    return ends | {point for device in devices for point in device_points(device)}


def _runs(wires: Iterable[Wire], harness: Harness) -> Iterator[Run]:
    """Each written line, cut where it passes a splice or a part: only an in-line connector keeps it whole."""
    lines: dict[int, list[Wire]] = {}
    for wire in wires:
        lines.setdefault(wire.chain, []).append(wire)
    for line in lines.values():
        run: list[Wire] = []
        for wire in sorted(line, key=lambda wire: wire.position):
            if run and not _passes(run[-1], wire, harness):
                yield tuple(run)
                run = []
            run.append(wire)
        yield tuple(run)


def _passes(before: Wire, after: Wire, harness: Harness) -> bool:
    """Whether two sections of a line meet in an in-line connector."""
    point = after.ends[0]
    connector = harness.connector(point.owner) if point.is_cavity else None
    return before.ends[1] == point and connector is not None and connector.in_line


def _ends(run: Run) -> tuple[Point, Point]:
    return run[0].ends[0], run[-1].ends[1]


def _is_touched(device: Device, points: set[Point]) -> bool:
    """Whether a shared device belongs to the circuit: one of its cavities is used."""
    return any(point in points for point in device_points(device) if point.is_cavity)


_Item = TypeVar("_Item")


def _once(items: Iterable[_Item]) -> tuple[_Item, ...]:
    """Each item once, in its order; items need not be hashable (a device holds a mapping)."""
    kept: list[_Item] = []
    for item in items:
        if item not in kept:
            kept.append(item)
    return tuple(kept)


def _both(own: tuple[_Item, ...], shared: tuple[_Item, ...]) -> tuple[_Item, ...]:
    return _once((*own, *shared))


def _among(item: object, items: Iterable[object]) -> bool:
    """Whether the very same object is among these."""
    return any(other is item for other in items)


_Named = TypeVar("_Named", Splice, Ground, Feed)


def _named(records: Mapping[str, tuple[_Named, ...]], points: set[Point]) -> tuple[_Named, ...]:
    names = {point.owner for point in points if not point.is_cavity}
    return tuple(merged(said) for name, said in records.items() if name in names)
