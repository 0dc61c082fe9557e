"""What a part's own pin order costs: devices want their pins side by side, pairs want to stay pairs."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Mapping, Sequence

from authorkit.drawing.netlist import Netlist, Unit
from authorkit.drawing.series import inner_rows, power_stages, series_of
from authorkit.drawing.strands import Block, Board, circuits_at
from authorkit.model.point import Point

_APART = 3.0  # for each foreign row between the pins of one device
_WIPER_OUTSIDE = 4.0
_TURNED = 0.4  # a device upside down
_CONNECTOR_SPLIT = 2.5
_WIRES_OF_ONE_PIN_APART = 20.0
_PAIR_APART = 4.0
_SHIELD_APART = 2.0
_OUT_OF_ORDER = 0.02
_GROUND_ABOVE = 0.25
_UNLIKE = 1.0  # two pins that stand the other way round in the drawing of another series

Taste = Callable[[Block, Sequence[int]], float]


def taste_of(board: Board, wanted: Mapping[Point, int] | None = None) -> Taste:
    """A function that says what an order of slots costs for a block of this board.

    `wanted` ranks pins by their order in another drawing, which costs something to leave.
    """
    rank = wanted or {}
    circuits = circuits_at(board)
    groups = {
        block.unit.id: _Wishes(block.unit, board, circuits)
        for blocks in board.blocks
        for block in blocks
        if block.unit is not None
    }

    def taste(block: Block, slots: Sequence[int]) -> float:
        if block.unit is None:
            return 0.0
        places = [rank[point] for slot in slots for point in board.slots[slot].points if point in rank]
        return groups[block.unit.id].cost(slots) + _UNLIKE * sum(a > b for a, b in itertools.pairwise(places))

    return taste


class _Wishes:
    """The wishes of one part, worked out once."""

    def __init__(self, unit: Unit, board: Board, circuits: object) -> None:
        self.board = board
        rows = {pin.point for pin in unit.pins} | set(inner_rows(unit, board.netlist))
        self.together = list(_together(unit, rows, board.netlist))
        self.ordered = [
            device.terminals
            for device in unit.devices
            if len(device.terminals) > 1 and all(terminal in rows for terminal in device.terminals)
        ]
        self.wipers = [device.terminals for device in unit.devices if device.kind == "potentiometer"]
        assert isinstance(circuits, dict)
        here = {pin.point: set(circuits.get(pin.point, ())) for pin in unit.pins}
        wiring = board.netlist.wiring
        self.pairs = [_carrying(here, pair.circuits) for pair in wiring.pairs]
        self.shields = [
            _carrying(here, (*shield.circuits, *([shield.drain] if shield.drain else []))) for shield in wiring.shields
        ]
        self.grounded = {
            end.point
            for run in board.columns.runs
            for end, other in (run.ends, run.ends[::-1])
            if board.netlist.kinds[other.point] == "ground"
        }

    def cost(self, slots: Sequence[int]) -> float:
        place: dict[Point, int] = {}
        owners: list[tuple[str, str]] = []
        total = 0.0
        for number, slot in enumerate(slots):
            record = self.board.slots[slot]
            for point in record.points:
                if point in place and place[point] != number - 1:
                    total += _WIRES_OF_ONE_PIN_APART
                place.setdefault(point, number)
            owners.append((record.left[0].owner if record.left else "", record.right[0].owner if record.right else ""))
        total += self._devices(place) + self._groups(place) + _splits(owners)
        total += sum(_OUT_OF_ORDER for a, b in itertools.pairwise(slots) if a > b)
        grounded = [number for point, number in place.items() if point in self.grounded]
        lowest = len(slots) - len(grounded)
        return total + sum(_GROUND_ABOVE * (lowest - number) for number in grounded if number < lowest)

    def _devices(self, place: dict[Point, int]) -> float:
        total = 0.0
        for points in self.together:
            total += _APART * _spread(place, points)
        for terminals in self.ordered:
            if place[terminals[0]] > place[terminals[-1]]:
                total += _TURNED
        for terminals in self.wipers:
            if all(terminal in place for terminal in terminals):
                high, wiper, low = (place[terminal] for terminal in terminals)
                total += 0.0 if min(high, low) < wiper < max(high, low) else _WIPER_OUTSIDE
        return total

    def _groups(self, place: dict[Point, int]) -> float:
        total = sum(_PAIR_APART * _spread(place, points) for points in self.pairs)
        return total + sum(_SHIELD_APART * _spread(place, points) for points in self.shields)


def _together(unit: Unit, rows: set[Point], netlist: Netlist) -> Iterable[tuple[Point, ...]]:
    """The rows that each device, or series of devices, joins."""
    for path in series_of(unit, rows, netlist):
        yield tuple(point for point in path.ends if point in rows)
    stages = power_stages(unit, rows)
    yield from (tuple(dict.fromkeys(point for device in stage for point in device.terminals)) for stage in stages)
    in_stage = [device for stage in stages for device in stage]
    for device in unit.devices:
        if device in in_stage:
            continue
        touched = {terminal for terminal in device.terminals if terminal in rows}
        touched |= {value for value in device.values.values() if isinstance(value, Point) and value in rows}
        if len(touched) > 1:
            yield tuple(sorted(touched))


def _carrying(here: dict[Point, set[str]], circuits: Iterable[str]) -> tuple[Point, ...]:
    wanted = set(circuits)
    return tuple(point for point, names in here.items() if names & wanted)


def _spread(place: dict[Point, int], points: Iterable[Point]) -> int:
    """How many rows too many lie between the first and the last of some points."""
    numbers = {place[point] for point in points if point in place}
    return max(numbers) - min(numbers) - len(numbers) + 1 if len(numbers) > 1 else 0


def _splits(owners: Sequence[tuple[str, str]]) -> float:
    """Connectors that fall into more than one piece, on either face."""
    total = 0.0
    for face in (0, 1):
        names = [owner[face] for owner in owners if owner[face]]
        runs = sum(a != b for a, b in itertools.pairwise(names)) + 1
        total += _CONNECTOR_SPLIT * max(0, runs - len(set(names))) if names else 0.0
    return total
