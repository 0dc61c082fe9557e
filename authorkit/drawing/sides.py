"""On which side each part stands, and towards which side the pins of parts in the middle look."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from authorkit.drawing.netlist import Netlist, Unit
from authorkit.model.point import Point

_SIDE_WORDS = {"left": "left", "right": "right", "middle": "mid", "mid": "mid", "centre": "mid"}
_ENDS = ("ground", "feed", "sheet")
_LEFT_KINDS = ("module", "fuse box", "battery")

# What it costs to put a part on the side where its kind does not belong; the module with most pins least of all moves.
_UNUSUAL = {"module": 3.0, "fuse box": 6.0, "battery": 6.0}
_COMPONENT_ON_THE_LEFT = 8.0
_SAME_SIDE_WIRE = 4.0
_SAME_SIDE_SPLICE = 3.0
_ONE_SIDED_RELAY = 5.0  # a part meant to stand between others that has all of them on one side


def clusters_of(netlist: Netlist) -> list[frozenset[Point]]:
    """Points joined by wire: the ends of each chain, with everything beyond its splices."""
    leader: dict[Point, Point] = {}

    def find(point: Point) -> Point:
        while leader.setdefault(point, point) != point:
            point = leader[point]
        return point

    for chain in netlist.chains:
        first, second = chain.ends
        if netlist.kinds[first] in _ENDS or netlist.kinds[second] in _ENDS:
            find(first), find(second)
            continue
        leader[find(first)] = find(second)
    groups: dict[Point, set[Point]] = defaultdict(set)
    for point in list(leader):
        groups[find(point)].add(point)
    return [frozenset(group) for _, group in sorted(groups.items())]


def owners_of(netlist: Netlist) -> dict[Point, str]:
    """The part of each pin."""
    return {pin.point: unit.id for unit in netlist.units for pin in unit.pins}


def sides_of(netlist: Netlist, clusters: Iterable[frozenset[Point]]) -> dict[str, str]:
    """Modules and fuse boxes left, components right, relays between; flipped where that saves wires that turn back."""
    owner = owners_of(netlist)
    links = [(owner.get(chain.ends[0]), owner.get(chain.ends[1])) for chain in netlist.chains]
    groups = [sorted({owner[point] for point in group if point in owner}) for group in clusters if len(group) > 2]
    fixed = {unit.id: _SIDE_WORDS[unit.part.side] for unit in netlist.units if unit.part.side in _SIDE_WORDS}
    home = {unit.id: "left" if unit.part.kind in _LEFT_KINDS else "right" for unit in netlist.units}
    if "left" not in home.values() and netlist.units:
        home[max(netlist.units, key=lambda unit: len(unit.pins)).id] = "left"
    sides = {unit.id: "mid" if _is_between(unit, netlist) else home[unit.id] for unit in netlist.units} | fixed
    stakes = _stakes(netlist.units, home)
    around = _around(clusters, owner)
    movable = [unit.id for unit in netlist.units if unit.id not in fixed and sides[unit.id] != "mid"]

    def cost() -> float:
        total = sum(stakes[name] for name in movable if sides[name] != home[name])
        return total + _awkward(sides, links, groups, around)

    best = cost()
    while True:
        flips = []
        for name in movable:
            sides[name] = other_side(sides[name])
            flips.append((cost(), name))
            sides[name] = other_side(sides[name])
        gain, name = min(flips, default=(best, ""))
        if gain >= best:
            return _settled(sides, around, fixed)
        best, sides[name] = gain, other_side(sides[name])


def _awkward(
    sides: Mapping[str, str],
    links: Iterable[tuple[str | None, str | None]],
    groups: Iterable[list[str]],
    around: Mapping[str, set[str]],
) -> float:
    """What wires and splices cost that join parts of one side only, and relays that stand between nothing."""
    total = 0.0
    for first, second in links:
        if first and second and first != second and sides[first] == sides[second] != "mid":
            total += _SAME_SIDE_WIRE
    for group in groups:
        seen = {sides[name] for name in group}
        if len(group) > 1 and len(seen) == 1 and "mid" not in seen:
            total += _SAME_SIDE_SPLICE
    for name, neighbours in around.items():
        if sides.get(name) == "mid" and len({sides[other] for other in neighbours} - {"mid"}) == 1:
            total += _ONE_SIDED_RELAY
    return total


def _around(clusters: Iterable[frozenset[Point]], owner: Mapping[Point, str]) -> dict[str, set[str]]:
    """The parts that each part is wired to, splices looked through."""
    around: dict[str, set[str]] = defaultdict(set)
    for group in clusters:
        names = {owner[point] for point in group if point in owner}
        for name in names:
            around[name] |= names - {name}
    return dict(around)


def _settled(sides: dict[str, str], around: Mapping[str, set[str]], fixed: Mapping[str, str]) -> dict[str, str]:
    """A relay that in the end has everything on one side stands on the other, like any part."""
    for name, side in list(sides.items()):
        seen = {sides[other] for other in around.get(name, ())}
        if side == "mid" and name not in fixed and "mid" not in seen and len(seen) <= 1:
            sides[name] = other_side(next(iter(seen), "left"))
    return sides


def _stakes(units: Iterable[Unit], home: Mapping[str, str]) -> dict[str, float]:
    """What each part has against moving."""
    stakes = {unit.id: _UNUSUAL.get(unit.part.kind, _COMPONENT_ON_THE_LEFT) + 0.01 * len(unit.pins) for unit in units}
    modules = [unit for unit in units if unit.part.kind == "module"]
    if modules:
        stakes[max(modules, key=lambda unit: len(unit.pins)).id] += 2.0
    return stakes


def other_side(side: str) -> str:
    """Left for right and right for left."""
    return "left" if side == "right" else "right"


def _is_between(unit: Unit, netlist: Netlist) -> bool:
    """Relays lie on a path between others, unless one has nothing but a single wire."""
    return unit.part.kind == "relay" and sum(pin.wires > 0 for pin in unit.pins) > 1


def faces_of(netlist: Netlist, sides: Mapping[str, str], clusters: Iterable[frozenset[Point]]) -> dict[Point, str]:
    """The face of each pin of a part in the middle: towards what its wire leads to."""
    owner = owners_of(netlist)
    reach: dict[Point, set[str]] = {}
    for group in clusters:
        for point in group:
            others = {sides[owner[other]] for other in group if other in owner and owner[other] != owner.get(point)}
            reach[point] = others - {"mid"}
    faces: dict[Point, str] = {}
    for unit in netlist.units:
        if sides[unit.id] == "mid":
            faces |= _unit_faces(unit, reach)
    return faces


def _unit_faces(unit: Unit, reach: Mapping[Point, set[str]]) -> dict[Point, str]:
    usual = _usual_faces(unit)
    faces: dict[Point, str] = {}
    for pin in unit.pins:
        seen = reach.get(pin.point, set())
        if len(seen) == 1:
            faces[pin.point] = next(iter(seen))
        elif seen:
            faces[pin.point] = usual.get(pin.point, "left")
    for device in unit.devices:
        known = [terminal for terminal in device.terminals if terminal in faces]
        for terminal in device.terminals:
            if terminal in usual and terminal not in faces:
                opposite = other_side(faces[known[0]]) if device.kind == "coil" and known else usual[terminal]
                faces[terminal] = opposite
    for pin in unit.pins:
        faces.setdefault(pin.point, usual.get(pin.point, "left"))
    return faces


def _usual_faces(unit: Unit) -> dict[Point, str]:
    """Supply left, load right: the first terminal of a device to the left, the others to the right."""
    pins = {pin.point for pin in unit.pins}
    usual: dict[Point, str] = {}
    for device in unit.devices:
        for number, terminal in enumerate(device.terminals):
            if terminal in pins:
                usual.setdefault(terminal, "left" if number == 0 else "right")
    return usual
