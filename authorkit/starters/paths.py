"""Following wires of the book, and writing them down again in another chapter."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Iterable, Iterator

from authorkit.model.point import Point
from authorkit.model.wiring import Wire
from authorkit.starters.additions import Additions
from authorkit.starters.cavities import restate_body
from authorkit.starters.surroundings import Surroundings
from authorkit.starters.template import scalar
from authorkit.units import as_typed


def path_to(
    around: Surroundings, start: Point, arrived: Callable[[Point], bool], *, only_shared: bool
) -> tuple[Wire, ...]:
    """The shortest way along wires from a cavity to a point for which `arrived` is true; () if there is none.

    It passes splices and in-line connectors, and only wires that all vehicles of the new chapter have. `only_shared`
    keeps it to the vehicle notebook.
    """
    ways: dict[Point, tuple[Wire, ...]] = {start: ()}
    queue = deque([start])
    while queue:
        point = queue.popleft()
        if ways[point] and arrived(point):
            return ways[point]
        if ways[point] and not passes(around, point):
            continue
        for wire in around.harness.wires.get(point, ()):
            end = far_end(wire, point)
            if end not in ways and around.holds(wire) and (around.is_shared(wire) or not only_shared):
                ways[end] = (*ways[point], wire)
                queue.append(end)
    return ()


def net_of(around: Surroundings, start: Point) -> tuple[frozenset[Point], tuple[Wire, ...]]:
    """Every point that wires join with a cavity, and those wires, on any series of the new chapter."""
    points = {start}
    wires: dict[int, Wire] = {}
    queue = deque([start])
    while queue:
        point = queue.popleft()
        for wire in around.harness.wires.get(point, ()):
            if not around.series_of(wire):
                continue
            wires[id(wire)] = wire
            end = far_end(wire, point)
            if end not in points:
                points.add(end)
                if passes(around, end):
                    queue.append(end)
    return frozenset(points), tuple(wires.values())


def far_end(wire: Wire, point: Point) -> Point:
    """The other end of a wire."""
    return wire.ends[1] if wire.ends[0] == point else wire.ends[0]


def end_of(way: Iterable[Wire], start: Point) -> Point:
    """The point where a way along wires ends."""
    point = start
    for wire in way:
        point = far_end(wire, point)
    return point


def passes(around: Surroundings, point: Point) -> bool:
    """Whether a circuit goes on at a point: a splice, or a cavity of an in-line connector."""
    if not point.is_cavity:
        return point.owner in around.harness.splices
    connector = around.harness.connector(point.owner)
    return connector is not None and connector.in_line


def restate(around: Surroundings, additions: Additions, wires: Iterable[Wire]) -> None:
    """Say again what other chapters say of these wires; what the vehicle notebook says holds everywhere as it is."""
    others = [wire for wire in wires if not around.is_shared(wire)]
    additions.wires += wire_lines(around, others)
    for point in dict.fromkeys(end for wire in others for end in wire.ends):
        _restate_point(around, additions, point)


def _restate_point(around: Surroundings, additions: Additions, point: Point) -> None:
    harness = around.harness
    splices = harness.splices.get(point.owner, ()) if not point.is_cavity else ()
    if splices and not any(around.is_shared(splice) for splice in splices):
        additions.splices[point.owner] = splices[0].location
    grounds = harness.grounds.get(point.owner, ()) if not point.is_cavity else ()
    if grounds and not any(around.is_shared(ground) for ground in grounds):
        additions.grounds[point.owner] = scalar(grounds[0].location)
    if point.is_cavity and point.owner in harness.connectors:
        restate_body(around, additions, point.owner)


def wire_lines(around: Surroundings, wires: Iterable[Wire]) -> Iterator[str]:
    """Wires as YAML, one line for each line in which they were written; a wire said twice is written once."""
    lines: dict[tuple[str, int], list[Wire]] = defaultdict(list)
    seen: set[tuple[str, frozenset[Point]]] = set()
    for wire in sorted(wires, key=lambda wire: (wire.place.file, wire.chain, wire.position)):
        # One notebook says one wire twice only for different series.
        said = (wire.circuit, frozenset(wire.ends))
        if said not in seen or any(wire.place.file == line[0].place.file for line in lines.values()):
            seen.add(said)
            lines[wire.place.file, wire.chain].append(wire)
    for line in lines.values():
        yield _line_text(around, line)


def _line_text(around: Surroundings, line: list[Wire]) -> str:
    items = [str(line[0].ends[0])]
    for wire in line:
        items += [_wire_text(wire), str(wire.ends[1])]
    held = around.series_of(line[0])
    text = f"[{', '.join(items)}]"
    return text if held == around.series else f"{{wire: {text}, series: [{', '.join(held)}]}}"


def _wire_text(wire: Wire) -> str:
    length = f" {as_typed(wire.length)}" if wire.length else ""
    return f"{wire.circuit} {wire.colour} {as_typed(wire.size)}{length}"
