"""Who stands where from left to right: sides of parts, faces of relay pins, columns of in-line connectors.

Columns are numbered from 0 (the left parts) to `last` (the right parts). Between them stand in-line connectors and
parts that lie on a path between two others (relays). Channel c is the space between columns c and c + 1; splices lie
in channels.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from authorkit.drawing.netlist import Chain, Netlist
from authorkit.drawing.sides import clusters_of, faces_of, other_side, owners_of, sides_of
from authorkit.model.point import Point


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
    splice. `lost` are chains that find no way because they contradict others."""

    sides: Mapping[str, str]
    faces: Mapping[Point, str]
    cavities: Mapping[Point, int]
    middle: Mapping[str, int]
    channels: Mapping[str, int]
    last: int
    runs: tuple[Run, ...]
    lost: tuple[Chain, ...] = ()


def arrange(netlist: Netlist) -> Columns:
    """Decide everything that lies from left to right."""
    clusters = clusters_of(netlist)
    sides = sides_of(netlist, clusters)
    faces = faces_of(netlist, sides, clusters)
    runs = [_run(chain, netlist, sides, faces) for chain in netlist.chains]
    layers = _Layers(netlist, sides, runs)
    solution = layers.solve()
    finished = tuple(
        Run(run.chain, (_placed(run.ends[0], solution), _placed(run.ends[1], solution))) for run in layers.runs
    )
    return Columns(
        sides,
        faces,
        solution.cavities,
        solution.middle,
        solution.channels,
        solution.last,
        finished,
        tuple(run.chain for run in layers.lost),
    )


def _run(chain: Chain, netlist: Netlist, sides: Mapping[str, str], faces: Mapping[Point, str]) -> Run:
    owner = owners_of(netlist)

    def end(point: Point) -> End:
        kind = netlist.kinds[point]
        if kind != "pin":
            return End(point, "s" if kind in ("splice", "inner") else "t")
        side = sides[owner[point]]
        face = faces[point] if side == "mid" else other_side(side)
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
        self.lost: list[Run] = []
        self.owner = owners_of(netlist)

    def solve(self) -> _Solution:
        """One column for each in-line connector; if a circuit passes one twice, one for each of its cavities."""
        for together in (True, False):
            rules = [*self._frame_rules(), *(rule for run in self.runs for rule in self._run_rules(run, together))]
            values = _earliest(rules)
            if values is not None:
                break
        else:
            together = False
            rules, values = self._feasible()
        values.setdefault(_RIGHT, 1)
        values = _pushed(values, rules, self._late(together))
        points = {point for run in self.runs for point in self._stations(run)}
        return _Solution(
            {point: values[self._cavity(point, together)] for point in sorted(points)},
            {name: values.get(("middle", name), 1) for name, side in sorted(self.sides.items()) if side == "mid"},
            {str(key[1]): value for key, value in values.items() if key[0] == "splice"},
            values[_RIGHT],
            self.owner,
            self.sides,
        )

    def _feasible(self) -> tuple[list[_Rule], dict[_Variable, int]]:
        """Rules for as many runs as agree with each other; the others find no way and are given up."""
        rules = list(self._frame_rules())
        values = _earliest(rules) or {}
        accepted = []
        for run in self.runs:
            more = [*rules, *self._run_rules(run, False)]
            found = _earliest(more)
            if found is None:
                self.lost.append(run)
            else:
                rules, values = more, found
                accepted.append(run)
        self.runs = accepted
        return rules, values

    def _stations(self, run: Run) -> list[Point]:
        """The in-line cavities of a run, bare ends included, from its first end to its second."""
        first, second = ([end.point] if self.netlist.kinds[end.point] == "in-line" else [] for end in run.ends)
        return [*first, *run.chain.cavities, *second]

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

    def _frame_rules(self) -> Iterator[_Rule]:
        yield (_LEFT, _RIGHT, 1)
        for name, side in self.sides.items():
            if side == "mid":
                yield (_LEFT, ("middle", name), 1)
                yield (("middle", name), _RIGHT, 1)

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
    for before, after in itertools.pairwise(variables):
        if before and after and (before != after or before[0] == "in-line"):
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
