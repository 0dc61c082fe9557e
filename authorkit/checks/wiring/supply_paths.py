"""Following a supply through wires, splices, in-line connectors and closed contacts, fuses left out."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from authorkit.circuit.voltage import CONDUCTORS
from authorkit.model.point import Point
from authorkit.model.wiring import Wire, Wiring


@dataclass
class Paths:
    """What leads away from each point: wires, and devices that pass the full current on when they are closed."""

    wires: Mapping[Point, list[Wire]]
    contacts: Mapping[Point, list[Point]]
    grounds: frozenset[str] = field(default_factory=frozenset)


def paths_of(wiring: Wiring) -> Paths:
    """Index a wiring whose inner points are apart (`with_inner_points_apart`)."""
    wires: dict[Point, list[Wire]] = defaultdict(list)
    contacts: dict[Point, list[Point]] = defaultdict(list)
    for wire in wiring.wires:
        for end in dict.fromkeys(wire.ends):
            wires[end].append(wire)
    for device in wiring.devices:
        if device.kind in CONDUCTORS and device.kind != "fuse":
            for terminal in device.terminals:
                contacts[terminal] += [other for other in device.terminals if other != terminal]
    return Paths(wires, contacts, frozenset(ground.id for ground in wiring.grounds))


def wires_from(starts: Iterable[Point], paths: Paths, stops_at: float | None = None) -> list[Wire]:
    """Every wire that these points feed, nearest first.

    With `stops_at` (an area in m²) the path ends at wires that are thinner: they are listed, but not followed.
    """
    found: dict[int, Wire] = {}
    seen: set[Point] = set()
    queue = deque(starts)
    while queue:
        point = queue.popleft()
        if point in seen or point.owner in paths.grounds:
            continue
        seen.add(point)
        queue.extend(paths.contacts.get(point, ()))
        for wire in paths.wires.get(point, ()):
            found.setdefault(id(wire), wire)
            if stops_at is None or wire.size.base >= stops_at:
                queue.extend(wire.ends)
    return list(found.values())
