"""The circuit cut into what the ordering needs: slots in block columns, and strands of wire in the spans between them.

A block column holds parts, one above the other: the left parts, the right parts, and columns of parts in the middle. A
slot is one row of a part, or the height at which a wire passes a column of the middle. A span is everything between two
block columns; a strand is the piece of a chain in one span.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from authorkit.drawing.columns import Columns, End, Run
from authorkit.drawing.netlist import Chain, Netlist, Unit
from authorkit.drawing.series import inner_rows, series_of
from authorkit.model.point import Point
from authorkit.problems import Problem

Key = tuple[Point, int]
"""A pin and the number of the wire in it, from 0."""


@dataclass(frozen=True)
class Slot:
    """One row of a block. `left` and `right` are the pins on the two faces; `inner` a spot inside the part."""

    number: int
    left: Key | None = None
    right: Key | None = None
    inner: Point | None = None

    @property
    def points(self) -> tuple[Point, ...]:
        """The points that lie on this row."""
        keys = [key[0] for key in (self.left, self.right) if key]
        return (*keys, self.inner) if self.inner else tuple(keys)


@dataclass(frozen=True)
class Block:
    """A part of a block column, or a wire that passes it (`unit` is None)."""

    unit: Unit | None
    slots: tuple[Slot, ...]


@dataclass(frozen=True)
class Strand:
    """A piece of run number `run` in one span.

    `left` and `right` are slot numbers; None at a splice, a ground, a feed or a bare end. `turn` is the second slot of
    a wire that turns back, on the side of the first. `channel` is where it ends or turns, if that is inside the span.
    """

    run: int
    left: int | None = None
    right: int | None = None
    turn: int | None = None
    left_splice: str = ""
    right_splice: str = ""
    channel: int = -1


@dataclass
class Span:
    """What lies between block columns number `first` and `first + 1`, which are columns `begin` and `end`."""

    first: int
    begin: int
    end: int
    strands: list[Strand] = field(default_factory=list)


@dataclass
class Board:
    """All of it. `stray` lists the runs that could not be placed, `celled` the passing slots that hold the cell of an
    in-line connector."""

    netlist: Netlist
    columns: Columns
    block_columns: tuple[int, ...]
    blocks: list[list[Block]]
    spans: list[Span]
    slots: list[Slot]
    stray: list[Problem] = field(default_factory=list)
    celled: set[int] = field(default_factory=set)


def cut(netlist: Netlist, columns: Columns) -> Board:
    """Lay the circuit out as blocks and strands, in the order in which the book names things."""
    block_columns = tuple(sorted({0, columns.last, *columns.middle.values()}))
    spans = [Span(number, begin, end) for number, (begin, end) in enumerate(itertools.pairwise(block_columns))]
    board = Board(netlist, columns, block_columns, [[] for _ in block_columns], spans, [])
    for unit in netlist.units:
        side = columns.sides[unit.id]
        column = {"left": 0, "right": columns.last}.get(side, columns.middle.get(unit.id, 0))
        block = Block(unit, tuple(_unit_slots(board, unit, side)))
        board.blocks[block_columns.index(column)].append(block)
    _Cutter(board).cut()
    return board


def _slot(board: Board, left: Key | None = None, right: Key | None = None, inner: Point | None = None) -> Slot:
    slot = Slot(len(board.slots), left, right, inner)
    board.slots.append(slot)
    return slot


def _unit_slots(board: Board, unit: Unit, side: str) -> list[Slot]:
    keys = [(pin.point, number) for pin in unit.pins for number in range(max(1, pin.wires))]
    inner = [_slot(board, inner=spot) for spot in inner_rows(unit, board.netlist)]
    if side == "left":
        return [*(_slot(board, right=key) for key in keys), *inner]
    if side == "right":
        return [*(_slot(board, left=key) for key in keys), *inner]
    return [*(_slot(board, *pair) for pair in _paired(board, unit, keys)), *inner]


def _paired(board: Board, unit: Unit, keys: list[Key]) -> list[tuple[Key | None, Key | None]]:
    """The rows of a part in the middle: a device with a pin on each face takes one row for both."""
    faces = board.columns.faces
    left = [key for key in keys if faces[key[0]] == "left"]
    right = [key for key in keys if faces[key[0]] == "right"]
    pairs: list[tuple[Key | None, Key | None]] = []
    for path in series_of(unit, {key[0] for key in keys}, board.netlist):
        here = next((key for key in left if key[0] in path.ends), None)
        there = next((key for key in right if key[0] in path.ends), None)
        if here and there:
            pairs.append((here, there))
            left.remove(here)
            right.remove(there)
    for device in unit.devices:
        if device.kind == "contact" and len(device.terminals) == 3:
            # The common point of a changeover contact lies level with the one that makes.
            here = next((key for key in left if key[0] == device.terminals[0]), None)
            there = next((key for key in right if key[0] == device.terminals[1]), None)
            if here and there:
                pairs.append((here, there))
                left.remove(here)
                right.remove(there)
    return [*pairs, *((key, None) for key in left), *((None, key) for key in right)]


class _Cutter:
    """Cuts each run into strands, giving the pins' slots out in the order of the runs."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.used: dict[Point, int] = defaultdict(int)
        self.by_key = {key: slot.number for slot in board.slots for key in (slot.left, slot.right) if key is not None}

    def cut(self) -> None:
        self.board.stray += [_undrawable(chain) for chain in self.board.columns.lost]
        for number, run in enumerate(self.board.columns.runs):
            ways = "".join(end.way for end in run.ends)
            if ways == "tt":
                self.board.stray.append(_adrift(run))
            elif ways in ("rr", "ll"):
                self._turning(number, run, ways)
            else:
                self._straight(number, run)

    def _slot_of(self, end: End) -> int:
        key = (end.point, self.used[end.point])
        self.used[end.point] += 1
        return self.by_key[key]

    def _stations(self, run: Run) -> list[int]:
        points = [*run.chain.cavities, *(end.point for end in run.ends if end.way == "t" and end.column >= 0)]
        return [self.board.columns.cavities[point] for point in points]

    def _span_of(self, channel: int) -> int:
        return max(span.first for span in self.board.spans if span.begin <= max(channel, 0))

    def _straight(self, number: int, run: Run) -> None:
        """From the left end to the right end, with a passing slot in each block column on the way."""
        first, second = run.ends
        stations = self._stations(run)
        start = first.column if first.way in "rs" else min([*stations, self._right_limit(second)])
        stop = second.column if second.way in "ls" else max([start, *stations])
        if first.way == "t":
            start = min([stop - 1 if second.way == "l" else stop, *(station - 1 for station in stations)])
        left = self._slot_of(first) if first.way == "r" else None
        right = self._slot_of(second) if second.way == "l" else None
        begin = self._span_of(start)
        end = self._span_of(stop - 1 if second.way == "l" else min(stop, self.board.columns.last - 1))
        if end < begin or (second.way == "l" and first.way == "r" and first.column >= second.column):
            self.board.stray.append(_undrawable(run.chain))
            return
        for span in range(begin, end + 1):
            is_last = span == end
            passing = None if is_last else self._pass(span + 1, stations)
            self.board.spans[span].strands.append(
                Strand(
                    number,
                    left,
                    right if is_last else passing,
                    None,
                    first.point.owner if span == begin and first.way == "s" else "",
                    second.point.owner if is_last and second.way == "s" else "",
                    self._channel(run, start, stop, (span == begin, is_last)),
                )
            )
            left = passing

    def _right_limit(self, second: End) -> int:
        return second.column if second.column >= 0 else self.board.columns.last

    def _channel(self, run: Run, start: int, stop: int, place: tuple[bool, bool]) -> int:
        """The channel in which a strand ends: at its splice, or behind its last in-line connector."""
        is_first, is_last = place
        first, second = run.ends
        if is_last and second.way == "s":
            return stop
        if is_first and first.way == "s" and second.way != "t":
            return start
        if is_first and first.way == "t":
            return start
        if is_last and second.way == "t":
            return min(stop, self.board.columns.last - 1)
        return -1

    def _pass(self, block_column: int, stations: list[int]) -> int:
        slot = _slot(self.board)
        if self.board.block_columns[block_column] in stations:
            self.board.celled.add(slot.number)
        self.board.blocks[block_column].append(Block(None, (slot,)))
        return slot.number

    def _turning(self, number: int, run: Run, ways: str) -> None:
        """A wire between two pins that look the same way turns back in the channel beyond its last connector."""
        first, second = run.ends
        columns = self.board.columns
        stations = self._stations(run)
        if ways == "rr":
            channel = min(max(first.column, second.column, *stations), columns.last - 1)
        else:
            channel = max(min(first.column, second.column, *stations) - 1, 0)
        span = self._span_of(channel)
        half = -(-len(stations) // 2)
        slots = [
            self._carried(number, end, self._slot_of(end), (span, ways, own))
            for end, own in ((first, stations[:half]), (second, stations[half:]))
        ]
        strand = Strand(number, slots[0], None, slots[1], channel=channel)
        if ways == "ll":
            strand = Strand(number, None, slots[0], slots[1], channel=channel)
        self.board.spans[span].strands.append(strand)

    def _carried(self, number: int, end: End, slot: int, where: tuple[int, str, list[int]]) -> int:
        """Bring an end's wire through the spans between its part and the span where it turns."""
        target, ways, stations = where
        if ways == "rr":
            for span in range(self._span_of(end.column), target):
                passing = self._pass(span + 1, stations)
                self.board.spans[span].strands.append(Strand(number, slot, passing))
                slot = passing
        else:
            for span in range(self._span_of(end.column - 1), target, -1):
                passing = self._pass(span, stations)
                self.board.spans[span].strands.append(Strand(number, passing, slot))
                slot = passing
        return slot


def _undrawable(chain: Chain) -> Problem:
    wire = chain.wires[0]
    message = f"Wire {wire.circuit} from {wire.ends[0]} to {wire.ends[1]} finds no way through the drawing."
    return Problem("drawing-incomplete", message, wire.place, suggestion="Give one of the parts a 'side:'.")


def _adrift(run: Run) -> Problem:
    wire = run.chain.wires[0]
    start, end = run.chain.ends
    message = (
        f"Wire {wire.circuit} from {start} to {end} is not drawn: it touches no part and no splice of this circuit."
    )
    return Problem("drawing-incomplete", message, wire.place, suggestion="Add the part that it leads to.")


def circuits_at(board: Board) -> Mapping[Point, tuple[str, ...]]:
    """The circuit names that arrive at each point."""
    found: dict[Point, list[str]] = defaultdict(list)
    for run in board.columns.runs:
        for end, wire in ((run.ends[0], run.chain.wires[0]), (run.ends[1], run.chain.wires[-1])):
            found[end.point].append(wire.circuit)
    return {point: tuple(names) for point, names in found.items()}
