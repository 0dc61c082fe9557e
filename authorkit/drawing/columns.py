"""Who stands where from left to right: sides of parts, faces of relay pins, columns of in-line connectors.

Columns are numbered from 0 (the left parts) to `last` (the right parts). Between them stand in-line connectors and
parts that lie on a path between two others (relays). Channel c is the space between columns c and c + 1; splices lie
in channels.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from authorkit.drawing.netlist import Chain, Netlist, Unit
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


@dataclass(frozen=True)
class End:
    """Where a chain ends: `way` is 'r' if the wire leaves to the right (so this is the chain's left end), 'l' if it
    leaves to the left, 's' at a splice, 't' at a ground, a feed or the bare end of an in-line connector."""

    point: Point
    way: str
    column: int = 0


@dataclass(frozen=True)
class Run:
    """A chain with its ends known; the left end comes first wherever there is one."""

    chain: Chain
    ends: tuple[End, End]


@dataclass(frozen=True)
class Columns:
    """The result: sides by part, faces by relay pin, columns by in-line cavity and by part in the middle, channels by
    splice."""

    sides: Mapping[str, str]
    faces: Mapping[Point, str]
    cavities: Mapping[Point, int]
    middle: Mapping[str, int]
    channels: Mapping[str, int]
    last: int
    runs: tuple[Run, ...]


def arrange(netlist: Netlist) -> Columns:
    """Decide everything that lies from left to right."""
    clusters = _clusters(netlist)
    sides = _sides(netlist, clusters)
    faces = _faces(netlist, sides, clusters)
    runs = [_run(chain, netlist, sides, faces) for chain in netlist.chains]
    solution = _Layers(netlist, sides, runs).solve()
    finished = tuple(Run(run.chain, (_placed(run.ends[0], solution), _placed(run.ends[1], solution))) for run in runs)
    return Columns(
        sides, faces, solution.cavities, solution.middle, solution.channels, solution.last, finished
    )


# ------------------------------------------------------------------------------------------------------------- sides


def _clusters(netlist: Netlist) -> list[frozenset[Point]]:
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


def _owners(netlist: Netlist) -> dict[Point, str]:
    return {pin.point: unit.id for unit in netlist.units for pin in unit.pins}


def _sides(netlist: Netlist, clusters: Iterable[frozenset[Point]]) -> dict[str, str]:
    """Modules and fuse boxes left, components right, relays between; flipped where that saves wires that turn back."""
    owner = _owners(netlist)
    links = [(owner.get(chain.ends[0]), owner.get(chain.ends[1])) for chain in netlist.chains]
    groups = [sorted({owner[point] for point in group if point in owner}) for group in clusters if len(group) > 2]
    fixed = {
        unit.id: _SIDE_WORDS[unit.part.side] for unit in netlist.units if unit.part.side in _SIDE_WORDS
    }
    home = {unit.id: "left" if unit.part.kind in _LEFT_KINDS else "right" for unit in netlist.units}
    if "left" not in home.values() and netlist.units:
        home[max(netlist.units, key=lambda unit: len(unit.pins)).id] = "left"
    sides = {unit.id: "mid" if _is_between(unit, netlist) else home[unit.id] for unit in netlist.units} | fixed
    stakes = _stakes(netlist.units, home)
    around = _around(clusters, owner)
    movable = [unit.id for unit in netlist.units if unit.id not in fixed and sides[unit.id] != "mid"]

    def cost() -> float:
        total = sum(stakes[name] for name in movable if sides[name] != home[name])
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

    best = cost()
    while True:
        flips = []
        for name in movable:
            sides[name] = _other(sides[name])
            flips.append((cost(), name))
            sides[name] = _other(sides[name])
        gain, name = min(flips, default=(best, ""))
        if gain >= best:
            return _settled(sides, around)
        best, sides[name] = gain, _other(sides[name])


def _around(clusters: Iterable[frozenset[Point]], owner: Mapping[Point, str]) -> dict[str, set[str]]:
    """The parts that each part is wired to, splices looked through."""
    around: dict[str, set[str]] = defaultdict(set)
    for group in clusters:
        names = {owner[point] for point in group if point in owner}
        for name in names:
            around[name] |= names - {name}
    return dict(around)


def _settled(sides: dict[str, str], around: Mapping[str, set[str]]) -> dict[str, str]:
    """A relay that in the end has everything on one side stands on the other, like any part."""
    for name, side in list(sides.items()):
        seen = {sides[other] for other in around.get(name, ())}
        if side == "mid" and "mid" not in seen and len(seen) <= 1:
            sides[name] = _other(next(iter(seen), "left"))
    return sides


def _stakes(units: Iterable[Unit], home: Mapping[str, str]) -> dict[str, float]:
    """What each part has against moving."""
    stakes = {
        unit.id: _UNUSUAL.get(unit.part.kind, _COMPONENT_ON_THE_LEFT) + 0.01 * len(unit.pins) for unit in units
    }
    modules = [unit for unit in units if unit.part.kind == "module"]
    if modules:
        stakes[max(modules, key=lambda unit: len(unit.pins)).id] += 2.0
    return stakes


def _other(side: str) -> str:
    return "left" if side == "right" else "right"


def _is_between(unit: Unit, netlist: Netlist) -> bool:
    """Relays lie on a path between others, unless one has nothing but a single wire."""
    return unit.part.kind == "relay" and sum(pin.wires > 0 for pin in unit.pins) > 1


# ------------------------------------------------------------------------------------------------------------- faces


def _faces(
    netlist: Netlist, sides: Mapping[str, str], clusters: Iterable[frozenset[Point]]
) -> dict[Point, str]:
    """The face of each pin of a part in the middle: towards what its wire leads to."""
    owner = _owners(netlist)
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
                opposite = _other(faces[known[0]]) if device.kind == "coil" and known else usual[terminal]
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


# ------------------------------------------------------------------------------------------------------------ layers


def _run(chain: Chain, netlist: Netlist, sides: Mapping[str, str], faces: Mapping[Point, str]) -> Run:
    owner = _owners(netlist)

    def end(point: Point) -> End:
        kind = netlist.kinds[point]
        if kind != "pin":
            return End(point, "s" if kind in ("splice", "inner") else "t")
        side = sides[owner[point]]
        face = faces[point] if side == "mid" else _other(side)
        return End(point, "r" if face == "right" else "l")

    first, second = end(chain.ends[0]), end(chain.ends[1])
    if _must_turn(first.way, second.way):
        return Run(chain.turned(), (second, first))
    return Run(chain, (first, second))


def _must_turn(first: str, second: str) -> bool:
    """The left end comes first; a terminal goes last beside a splice or a left end."""
    order = {("l", "r"), ("l", "s"), ("s", "r"), ("t", "r"), ("t", "s"), ("l", "t")}
    return (first, second) in order


@dataclass(frozen=True)
class _Solution:
    cavities: Mapping[Point, int]
    middle: Mapping[str, int]
    channels: Mapping[str, int]
    last: int
    owner: Mapping[Point, str]
    sides: Mapping[str, str]


def _placed(end: End, solution: _Solution) -> End:
    """An end with its column: of its part, of its splice's channel, of its in-line connector; -1 if it has none."""
    if end.way in "rl":
        part = solution.owner[end.point]
        column = {"left": 0, "right": solution.last}.get(solution.sides[part])
        return End(end.point, end.way, solution.middle[part] if column is None else column)
    if end.way == "s":
        return End(end.point, "s", solution.channels[end.point.owner])
    return End(end.point, "t", solution.cavities.get(end.point, -1))


_LEFT, _RIGHT = ("part", "left"), ("part", "right")
_Variable = tuple[str, object]
_Rule = tuple[_Variable, _Variable, int]


class _Layers:
    """Longest paths over 'stands right of'. Rule (a, b, w): b lies at least w to the right of a."""

    def __init__(self, netlist: Netlist, sides: Mapping[str, str], runs: Iterable[Run]) -> None:
        self.netlist, self.sides, self.runs = netlist, sides, list(runs)
        self.owner = _owners(netlist)

    def solve(self) -> _Solution:
        """One column for each in-line connector; if a circuit passes one twice, one for each of its cavities."""
        for together in (True, False):
            rules = list(self._rules(together))
            values = _earliest(rules)
            if values is not None:
                break
        else:
            values = {variable: 1 for rule in rules for variable in rule[:2]} | {_LEFT: 0, _RIGHT: 2}
        values.setdefault(_RIGHT, 1)
        late = self._late(together)
        values = _pushed(values, rules, late)
        points = {point for run in self.runs for point in self._stations(run)}
        return _Solution(
            {point: values[self._cavity(point, together)] for point in sorted(points)},
            {name: values.get(("middle", name), 1) for name, side in sorted(self.sides.items()) if side == "mid"},
            {str(key[1]): value for key, value in values.items() if key[0] == "splice"},
            values[_RIGHT],
            self.owner,
            self.sides,
        )

    def _stations(self, run: Run) -> list[Point]:
        """The in-line cavities of a run, bare ends included, from its first end to its second."""
        ends = [end.point for end in run.ends if self.netlist.kinds[end.point] == "in-line"]
        return [*run.chain.cavities, *ends]

    def _cavity(self, point: Point, together: bool) -> _Variable:
        return ("in-line", point.owner if together else point)

    def _late(self, together: bool) -> set[_Variable]:
        """Splices with more branches to the right than to the left, and what hangs on a right end only."""
        weight: dict[str, int] = defaultdict(int)
        late: set[_Variable] = set()
        for run in self.runs:
            for end, other in (run.ends, run.ends[::-1]):
                if end.way == "s":
                    weight[end.point.owner] += {"r": -1, "l": 1}.get(other.way, 0)
            if {end.way for end in run.ends} <= {"l", "t"}:
                late |= {self._cavity(point, together) for point in self._stations(run)}
        return late | {("splice", name) for name, sum_ in weight.items() if sum_ >= 0}

    def _rules(self, together: bool) -> Iterator[_Rule]:
        yield (_LEFT, _RIGHT, 1)
        for name, side in self.sides.items():
            if side == "mid":
                yield (_LEFT, ("middle", name), 1)
                yield (("middle", name), _RIGHT, 1)
        for run in self.runs:
            yield from self._run_rules(run, together)

    def _run_rules(self, run: Run, together: bool) -> Iterator[_Rule]:
        first, second = (self._variable(end) for end in run.ends)
        stations = [self._cavity(point, together) for point in self._stations(run)]
        ways = "".join(end.way for end in run.ends)
        half = -(-len(stations) // 2)
        if ways == "rr":
            yield from _rising([first, *stations[:half]])
            yield from _rising([second, *reversed(stations[half:])])
        elif ways == "ll":
            yield from _rising([*reversed(stations[:half]), first])
            yield from _rising([*stations[half:], second])
        else:
            yield from _rising([each for each in (first, *stations, second) if each])
        for station in stations:
            yield (_LEFT, station, 1)
            yield (station, _RIGHT, 1)
        for each in (first, second):
            if each and each[0] == "splice":
                yield (_LEFT, each, 0)
                yield (each, _RIGHT, 1)

    def _variable(self, end: End) -> _Variable | None:
        if end.way == "s":
            return ("splice", end.point.owner)
        if end.way == "t":
            return None
        part = self.owner[end.point]
        side = self.sides[part]
        return ("middle", part) if side == "mid" else ("part", side)


def _rising(variables: list[_Variable | None]) -> Iterator[_Rule]:
    """Each stands right of the one before it; a splice lies in the channel right of its column."""
    for before, after in zip(variables, variables[1:], strict=False):
        if before and after and before != after:
            yield (before, after, 0 if after[0] == "splice" else 1)


def _earliest(rules: list[_Rule]) -> dict[_Variable, int] | None:
    """The leftmost columns that keep all rules; None if they contradict each other."""
    values = {variable: 0 for rule in rules for variable in rule[:2]}
    for _ in range(len(values) + 1):
        changed = False
        for before, after, weight in rules:
            if values[after] < values[before] + weight:
                values[after] = values[before] + weight
                changed = True
        if not changed:
            return values if values[_LEFT] == 0 else None
    return None


def _pushed(values: dict[_Variable, int], rules: list[_Rule], late: set[_Variable]) -> dict[_Variable, int]:
    """The same with the `late` ones as far right as they can go."""
    pushed = {variable: values[_RIGHT] if variable in late else value for variable, value in values.items()}
    for _ in range(len(values) + 1):
        changed = False
        for before, after, weight in rules:
            if before in late and pushed[before] > pushed[after] - weight:
                pushed[before] = pushed[after] - weight
                changed = True
        if not changed:
            break
    return pushed
