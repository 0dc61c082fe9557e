"""Which parts a harness joins with each other: the wires of a circuit seen from far, for block drawings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from authorkit.model.point import Point
from authorkit.model.wiring import Wire, Wiring

_SUPPLIES = ("fuse box", "battery")


@dataclass(frozen=True)
class PartLink:
    """Two parts in alphabetical order, and the wires on the way from one to the other.

    The way leads through splices and in-line connectors.
    """

    ends: tuple[str, str]
    wires: tuple[Wire, ...]

    @property
    def circuits(self) -> tuple[str, ...]:
        """The names of the circuits, each once, in the order of the way."""
        return tuple(dict.fromkeys(wire.circuit for wire in self.wires))


def part_links(wiring: Wiring, left_out: Collection[Point] = ()) -> tuple[PartLink, ...]:
    """Every pair of parts that wires join. A net of many parts is a star: from the supply in it, else the module.

    A net that holds a ground point joins nothing: everything would be joined to everything. Nor does a net that holds
    one of the points `left_out`.
    """
    owner = _owners(wiring)
    grounds = {Point(ground.id) for ground in wiring.grounds}
    kinds = {part.id: part.kind for part in wiring.parts}
    found: dict[tuple[str, str], list[Wire]] = defaultdict(list)
    for net in _nets(wiring):
        if not net.keys() & grounds and not any(point in net for point in left_out):
            _add_star(net, owner, kinds, found)
    return tuple(PartLink(ends, tuple(dict.fromkeys(wires))) for ends, wires in found.items())


def _owners(wiring: Wiring) -> dict[str, str]:
    """The part of each connector that plugs into one."""
    owner = {connector.id: connector.part for connector in wiring.connectors if connector.part}
    return owner | {use.point.owner: use.part for use in wiring.cavities if use.part}


_Net = Mapping[Point, list[Wire]]


def _nets(wiring: Wiring) -> Iterator[_Net]:
    """The points that wires join, with the wires at each."""
    at: dict[Point, list[Wire]] = defaultdict(list)
    for wire in wiring.wires:
        for end in wire.ends:
            at[end].append(wire)
    seen: set[Point] = set()
    for start in at:
        if start not in seen:
            net = list(_reached(start, at))
            seen.update(net)
            yield {point: at[point] for point in net}


def _reached(start: Point, at: Mapping[Point, list[Wire]]) -> Iterator[Point]:
    queue, known = [start], {start}
    for point in queue:
        yield point
        for wire in at[point]:
            for end in wire.ends:
                if end not in known:
                    known.add(end)
                    queue.append(end)


def _add_star(
    net: _Net, owner: Mapping[str, str], kinds: Mapping[str, str], found: dict[tuple[str, str], list[Wire]]
) -> None:
    pins = [point for point in net if owner.get(point.owner)]
    if len(pins) < 2:
        return
    rank = {**dict.fromkeys(_SUPPLIES, 0), "module": 1}
    hub = min(pins, key=lambda point: rank.get(kinds.get(owner[point.owner], ""), 2))
    for pin, way in _ways(hub, net):
        first, second = owner[hub.owner], owner.get(pin.owner, "")
        if second and second != first:
            found[min(first, second), max(first, second)] += way


def _ways(hub: Point, net: _Net) -> Iterator[tuple[Point, tuple[Wire, ...]]]:
    """Each point of a net with the wires that lead to it from the hub."""
    ways: dict[Point, tuple[Wire, ...]] = {hub: ()}
    queue = [hub]
    for point in queue:
        for wire in net[point]:
            for end in wire.ends:
                if end not in ways:
                    ways[end] = (*ways[point], wire)
                    queue.append(end)
    del ways[hub]
    yield from ways.items()


def grounds_by_part(wiring: Wiring) -> dict[str, tuple[str, ...]]:
    """The ground points that each part's own wires lead to, straight or through splices and in-line connectors."""
    owner = _owners(wiring)
    grounds = {ground.id for ground in wiring.grounds}
    found: dict[str, set[str]] = defaultdict(set)
    for net in _nets(wiring):
        here = {point.owner for point in net if point.owner in grounds}
        if here:
            for point in net:
                found[owner.get(point.owner, "")] |= here
    return {part: tuple(sorted(names)) for part, names in found.items() if part}
