"""Circuits too large for one page, cut into sheets.

A wire that leads from one sheet to another is cut once and carries the same letter on both. Parts on the outer side of
the cut stay whole; a module whose wires go to several sheets shows on each the pins that matter there.
"""

from __future__ import annotations

import string
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from authorkit.drawing.columns import Run
from authorkit.drawing.netlist import CUT, Netlist
from authorkit.drawing.paint import Placed
from authorkit.model.point import Point
from authorkit.model.wiring import Device, Wire, Wiring


@dataclass(frozen=True)
class Piece:
    """A wire section with the sheet on which each of its ends lies."""

    wire: Wire
    sheets: tuple[int, int]


def fold_down(placed: Placed, capacity: float) -> tuple[Wiring, ...]:
    """Sheets one below the other, each at most about `capacity` millimetres high."""
    sheets = _Downwards(placed, capacity)
    return _sheets(placed.netlist, list(sheets.pieces()))


def fold_across(placed: Placed) -> tuple[Wiring, ...]:
    """Two sheets, left and right of the channel nearest to the middle."""
    columns = placed.board.columns
    middle = (placed.edges.starts[0] + placed.edges.ends[columns.last - 1]) / 2
    channel = min(range(columns.last), key=lambda each: abs(sum(_extent(placed, each)) / 2 - middle))
    pieces = [piece for run in columns.runs for piece in _across(run, channel, placed)]
    return _sheets(placed.netlist, pieces)


def _extent(placed: Placed, channel: int) -> tuple[float, float]:
    return placed.edges.starts[channel], placed.edges.ends[channel]


def _across(run: Run, channel: int, placed: Placed) -> Iterator[Piece]:
    """Each section of a run with the side of the cut on which its ends lie."""
    columns = placed.board.columns
    first, second = run.ends
    if "t" in (first.way, second.way):  # a wire to a ground or a feed stays whole, with what it comes from
        side = int(max(first.column, second.column) > channel)
        for number, wire in enumerate(run.chain.wires):
            yield Piece(_oriented(wire, run, number), (side, side))
        return
    stations = [columns.cavities[cavity] for cavity in run.chain.cavities]
    start = first.column
    marks = [start, *stations]
    last = second.column
    for number, wire in enumerate(run.chain.wires):
        here = marks[number]
        there = marks[number + 1] if number + 1 < len(marks) else last
        yield Piece(_oriented(wire, run, number), (int(here > channel), int(there > channel)))


def _oriented(wire: Wire, run: Run, number: int) -> Wire:
    """The section with its ends in the direction of its run."""
    start = run.chain.cavities[number - 1] if number else run.ends[0].point
    return wire if wire.ends[0] == start else replace(wire, ends=(wire.ends[1], wire.ends[0]))


class _Downwards:
    """Says on which sheet every end of every wire lies."""

    def __init__(self, placed: Placed, capacity: float) -> None:
        self.placed, self.capacity = placed, capacity
        self.heights = self._pin_heights()
        self.cuts: list[float] = []
        # The parts on the left go wherever their wires lead; where there are no others they are cut themselves.
        sides = placed.board.columns.sides
        self.follows = (
            {name for name, side in sides.items() if side == "left"} if set(sides.values()) > {"left"} else set()
        )
        self.homes = self._homes()

    def pieces(self) -> Iterator[Piece]:
        splices = self._splices()
        for run in self.placed.board.columns.runs:
            first, second = (self._sheet(end.point, splices) for end in run.ends)
            if first is None and second is None:
                first = second = self._at(min((self.heights.get(end.point, 0.0) for end in run.ends), default=0.0))
            first = second if first is None else first
            second = first if second is None else second
            assert first is not None
            assert second is not None
            last = len(run.chain.wires) - 1
            for number, wire in enumerate(run.chain.wires):
                sheets = (first, second if number == last else first)
                yield Piece(_oriented(wire, run, number), sheets)

    def _pin_heights(self) -> dict[Point, float]:
        heights: dict[Point, float] = {}
        for slot in self.placed.board.slots:
            for point in slot.points:
                heights.setdefault(point, self.placed.heights.slots[slot.number])
        return heights

    def _homes(self) -> dict[str, int]:
        """The sheet of each part that stays whole, filling sheet after sheet from the top."""
        extents = []
        for unit in self.placed.netlist.units:
            ys = [self.heights[pin.point] for pin in unit.pins if pin.point in self.heights]
            if ys and unit.id not in self.follows and max(ys) - min(ys) < 0.8 * self.capacity:
                extents.append((min(ys), max(ys), unit.id))
        homes, top = {}, None
        for low, high, name in sorted(extents):
            if top is None:
                top = low
            if high + 22.0 - top > self.capacity:
                self.cuts.append(low - 1.0)
                top = low
            homes[name] = len(self.cuts)
        if not extents:
            span = max(self.heights.values(), default=0.0)
            self.cuts = [step * self.capacity for step in range(1, int(span / self.capacity) + 1)]
        return homes

    def _at(self, y: float) -> int:
        return sum(y > cut for cut in self.cuts)

    def _sheet(self, point: Point, splices: Mapping[Point, int]) -> int | None:
        """The sheet of a point; None where it can be on any."""
        if point in splices:
            return splices[point]
        owner = next(
            (unit.id for unit in self.placed.netlist.units if any(pin.point == point for pin in unit.pins)), None
        )
        if owner is None:
            return None
        if owner in self.homes:
            return self.homes[owner]
        return None if owner in self.follows else self._at(self.heights[point])

    def _splices(self) -> dict[Point, int]:
        """Each splice goes where most of its branches are."""
        votes: dict[Point, Counter[int]] = defaultdict(Counter)
        for run in self.placed.board.columns.runs:
            for end, other in (run.ends, run.ends[::-1]):
                if end.way == "s":
                    sheet = self._sheet(other.point, {})
                    votes[end.point][sheet if sheet is not None else 0] += 0 if sheet is None else 1
        return {point: min(counts, key=lambda sheet: (-counts[sheet], sheet)) for point, counts in votes.items()}


# ------------------------------------------------------------------------------------------------------------ sheets


def _sheets(netlist: Netlist, pieces: list[Piece]) -> tuple[Wiring, ...]:
    """The wiring of each sheet, with cut wires lettered."""
    numbers = sorted({sheet for piece in pieces for sheet in piece.sheets})
    letters = _letters()
    wires: dict[int, list[Wire]] = {number: [] for number in numbers}
    for piece in pieces:
        here, there = piece.sheets
        if here == there:
            wires[here].append(piece.wire)
            continue
        letter = next(letters)
        first, second = piece.wire.ends
        wires[here].append(replace(piece.wire, ends=(first, _mark(letter, numbers.index(there) + 1))))
        wires[there].append(replace(piece.wire, ends=(_mark(letter, numbers.index(here) + 1), second)))
    idle = _idle(netlist, pieces)
    return tuple(_part_of(netlist, wires[number], idle if number == numbers[0] else set()) for number in numbers)


def _mark(letter: str, sheet: int) -> Point:
    return Point(f"{CUT}{letter} {sheet}")


def _letters() -> Iterator[str]:
    yield from string.ascii_uppercase
    for first in string.ascii_uppercase:
        for second in string.ascii_uppercase:
            yield first + second


def _idle(netlist: Netlist, pieces: Iterable[Piece]) -> set[Point]:
    """Cavities that no wire of the circuit touches: shown once, on the first sheet."""
    touched = {end for piece in pieces for end in piece.wire.ends}
    return {use.point for use in netlist.wiring.cavities} - touched


def _part_of(netlist: Netlist, wires: list[Wire], idle: set[Point]) -> Wiring:
    """Everything of the circuit that these wires touch."""
    wiring = netlist.wiring
    points = {end for wire in wires for end in wire.ends} | idle
    owners = {connector.id: connector.part for connector in wiring.connectors}
    owners |= {use.point.owner: use.part for use in wiring.cavities if use.part}
    parts = {owners.get(point.owner, "") for point in points if point.is_cavity}
    named = {point.owner for point in points}
    devices = tuple(device for device in wiring.devices if _touches(device, points))
    inner = {point for device in devices for point in device.terminals}
    named |= {point.owner for point in inner}
    circuits = {wire.circuit for wire in wires}
    return replace(
        wiring,
        parts=tuple(part for part in wiring.parts if part.id in parts),
        connectors=tuple(connector for connector in wiring.connectors if connector.id in named),
        cavities=tuple(use for use in wiring.cavities if use.point in points | inner),
        wires=tuple(wires),
        devices=devices,
        splices=tuple(record for record in wiring.splices if record.id in named),
        grounds=tuple(record for record in wiring.grounds if record.id in named),
        feeds=tuple(record for record in wiring.feeds if record.id in named),
        pairs=tuple(pair for pair in wiring.pairs if set(pair.circuits) <= circuits),
        shields=tuple(shield for shield in wiring.shields if set(shield.circuits) <= circuits),
    )


def _touches(device: Device, points: set[Point]) -> bool:
    cavities = [terminal for terminal in device.terminals if terminal.is_cavity]
    return any(terminal in points for terminal in cavities)
