"""From order to heights: how far down the page each row lies.

Rows that share a straight wire are one; all others keep their distance from what lies next to them. Each demand is
'this lies at least so much below that'; the longest path through the demands gives the lowest drawing.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from authorkit.drawing.inside import Inside
from authorkit.drawing.judge import Row
from authorkit.drawing.measures import (
    BLOCK_GAP,
    BOX_RIM,
    CELL_HALF,
    MARK_ROOM,
    NAME_ROOM,
    PITCH,
    TITLE_GAP,
    TITLE_LINE,
)
from authorkit.drawing.middle import Middle
from authorkit.drawing.order import Order
from authorkit.drawing.strands import Block, Board, Key, Span, Strand

_Variable = tuple[str, int, int]  # ('slot', number, 0) or ('free', span, run)


@dataclass(frozen=True)
class Terminal:
    """Where a wire ends in a ground, a feed or a bare in-line connector, inside a span.

    `side` is 'left' or 'right' for the pin or splice it comes from, or 'splice'.
    """

    run: int
    span: int
    channel: int
    kind: str
    name: str
    side: str


@dataclass(frozen=True)
class Heights:
    """Heights of slots, and of wires that touch no slot (by span and run)."""

    slots: Mapping[int, float]
    free: Mapping[tuple[int, int], float]
    terminals: tuple[Terminal, ...]


def find_heights(
    board: Board,
    order: Order,
    insides: Mapping[str, Inside | Middle],
    titles: Mapping[str, int],
    *,
    least: Mapping[Key, float] | None = None,
) -> Heights:
    """Place every row; `titles` says how many lines the heading of each part takes.

    `least` says how far down some pins must lie at least, because they lie there in the drawing of another series.
    """
    return _Placing(board, order, insides, titles, least=least or {}).heights()


def top_room(
    block: Block, slots: Iterable[int], board: Board, inside: Inside | Middle | None, *, title_lines: int
) -> float:
    """From the first row of a block up to its highest edge, heading included."""
    first = next(iter(slots))
    if block.unit is None or inside is None:
        return CELL_HALF + NAME_ROOM if first in board.celled else PITCH / 2
    points = board.slots[first].points
    above = max((inside.above.get(point, 0.0) for point in points), default=0.0)
    return frame_above(above) + TITLE_GAP + title_lines * TITLE_LINE


def frame_above(above: float) -> float:
    """From a part's first row up to its frame."""
    return max(above, CELL_HALF) + BOX_RIM


def frame_below(below: float) -> float:
    """From a part's last row down to its frame."""
    return max(below, CELL_HALF) + BOX_RIM


class _Placing:
    def __init__(
        self,
        board: Board,
        order: Order,
        insides: Mapping[str, Inside | Middle],
        titles: Mapping[str, int],
        *,
        least: Mapping[Key, float],
    ) -> None:
        self.board, self.order, self.insides, self.titles = board, order, insides, titles
        self.least = least
        self.leader: dict[_Variable, _Variable] = {}
        self.demands: dict[tuple[_Variable, _Variable], float] = {}
        self.terminals = tuple(find_terminals(board))

    def heights(self) -> Heights:
        for span, rows in enumerate(self.order.rows):
            for row in rows:
                self._join(span, row)
        for column in self.order.columns:
            self._column(column)
        for place, lines in zip(self.board.spans, self.order.rows, strict=True):
            self._span(place, lines)
        values = self._longest()
        slots = {slot.number: values[self._find(("slot", slot.number, 0))] for slot in self.board.slots}
        free = {
            (span, run): values[self._find(("free", span, run))]
            for span, rows in enumerate(self.order.rows)
            for row in rows
            for run in row.free
        }
        return Heights(slots, free, self.terminals)

    # ------------------------------------------------------------------------------------------------- variables

    def _find(self, variable: _Variable) -> _Variable:
        while self.leader.setdefault(variable, variable) != variable:
            variable = self.leader[variable]
        return variable

    def _join(self, span: int, row: Row) -> None:
        members = self._members(span, row)
        self._find(members[0])
        for member in members[1:]:
            self.leader[self._find(member)] = self._find(members[0])

    @staticmethod
    def _members(span: int, row: Row) -> list[_Variable]:
        slots: list[_Variable] = [("slot", slot, 0) for slot in (row.left, row.right) if slot is not None]
        return [*slots, *(("free", span, run) for run in row.free)]

    def _demand(self, upper: _Variable, lower: _Variable, gap: float) -> None:
        pair = self._find(upper), self._find(lower)
        if pair[0] != pair[1]:
            self.demands[pair] = max(gap, self.demands.get(pair, 0.0))

    # --------------------------------------------------------------------------------------------------- columns

    def _column(self, column: tuple[tuple[Block, tuple[int, ...]], ...]) -> None:
        """Rows of a part below each other, parts below each other."""
        before: tuple[int, float] | None = None
        for block, slots in column:
            if not slots:
                continue
            inside = self.insides.get(block.unit.id) if block.unit else None
            title = self.titles.get(block.unit.id, 0) if block.unit else 0
            if before is not None:
                gap = before[1] + top_room(block, slots, self.board, inside, title_lines=title)
                self._demand(("slot", before[0], 0), ("slot", slots[0], 0), gap + self._apart(block))
            for upper, lower in itertools.pairwise(slots):
                self._demand(("slot", upper, 0), ("slot", lower, 0), self._row_gap(upper, lower, inside))
            if inside is not None:
                self._between(slots, inside)
            before = (slots[-1], self._bottom_room(block, slots, inside))

    @staticmethod
    def _apart(block: Block) -> float:
        return BLOCK_GAP if block.unit else 0.0

    def _bottom_room(self, block: Block, slots: tuple[int, ...], inside: Inside | Middle | None) -> float:
        if block.unit is None or inside is None:
            return CELL_HALF + 1.0 if slots[-1] in self.board.celled else PITCH / 2
        points = self.board.slots[slots[-1]].points
        below = max((inside.below.get(point, 0.0) for point in points), default=0.0)
        return max(frame_below(below), CELL_HALF + NAME_ROOM)

    def _row_gap(self, upper: int, lower: int, inside: Inside | Middle | None) -> float:
        """Between two rows of a part: the devices at both, and the name of a connector that ends here."""
        first, second = self.board.slots[upper], self.board.slots[lower]
        gap = PITCH
        for face in ("left", "right"):
            here, there = getattr(first, face), getattr(second, face)
            if here and (there is None or there[0].owner != here[0].owner):
                gap = max(gap, 2 * CELL_HALF + NAME_ROOM if there else PITCH)
        if inside is not None and not set(first.points) & set(second.points):
            below = max((inside.below.get(point, 0.0) for point in first.points), default=0.0)
            above = max((inside.above.get(point, 0.0) for point in second.points), default=0.0)
            if below or above:
                gap = max(gap, below + above + 1.0, above + 4.0 if above > CELL_HALF else 0.0)
        return gap

    def _between(self, slots: tuple[int, ...], inside: Inside | Middle) -> None:
        """Devices that stand between two rows need their length there."""
        first_slot: dict[object, int] = {}
        for slot in slots:
            for point in self.board.slots[slot].points:
                first_slot.setdefault(point, slot)
        for upper, lower, gap in inside.between:
            if upper in first_slot and lower in first_slot:
                self._demand(("slot", first_slot[upper], 0), ("slot", first_slot[lower], 0), gap)

    # ----------------------------------------------------------------------------------------------------- spans

    def _span(self, span: Span, rows: tuple[Row, ...]) -> None:
        """Rows that lie in one channel keep apart; so do the cells of in-line connectors in one column."""
        reach = _reach(span, self.board, rows)
        ends = {(each.run, each.side): each for each in self.terminals if each.span == span.first}
        marks = [self._marks(span, row, ends) for row in rows]
        for low in range(len(rows)):
            for high in range(low + 1, len(rows)):
                gap = _apart(reach[low], reach[high], marks[low], marks[high])
                upper, lower = self._members(span.first, rows[low])[0], self._members(span.first, rows[high])[0]
                self._demand(upper, lower, gap)
        for column in range(span.begin + 1, span.end):
            self._cells(span, rows, column)

    def _marks(self, span: Span, row: Row, ends: Mapping[tuple[int, str], Terminal]) -> list[Terminal]:
        """The grounds and feeds at a row."""
        found = []
        for strand in span.strands:
            side = "left" if strand.left is not None else "right" if strand.right is not None else "splice"
            here = (
                strand.run in row.free
                if side == "splice"
                else (strand.left, strand.right)
                in (
                    (row.left, None),
                    (None, row.right),
                )
                and (strand.left is not None or strand.right is not None)
            )
            terminal = ends.get((strand.run, side))
            if here and terminal is not None and strand.turn is None and terminal.kind in ("ground", "feed"):
                found.append(terminal)
        return found

    def _cells(self, span: Span, rows: tuple[Row, ...], column: int) -> None:
        cells: list[tuple[_Variable, str]] = []
        for row in rows:
            here = self._members(span.first, row)[0]
            cells.extend((here, name) for name in stations_at(span, row, column, self.board))
        for (upper, first), (lower, second) in itertools.pairwise(cells):
            self._demand(upper, lower, PITCH if first == second else 2 * CELL_HALF + NAME_ROOM + 1.0)

    # --------------------------------------------------------------------------------------------------- solving

    def _longest(self) -> dict[_Variable, float]:
        variables = {self._find(("slot", slot.number, 0)) for slot in self.board.slots}
        variables |= {self._find(variable) for variable in list(self.leader)}
        after: dict[_Variable, list[tuple[_Variable, float]]] = defaultdict(list)
        waiting = dict.fromkeys(variables, 0)
        for (upper, lower), gap in self.demands.items():
            after[upper].append((lower, gap))
            waiting[lower] += 1
        values = dict.fromkeys(variables, 0.0)
        for slot in self.board.slots:
            variable = self._find(("slot", slot.number, 0))
            for key in (slot.left, slot.right):
                if key is not None:
                    values[variable] = max(values[variable], self.least.get(key, 0.0))
        ready = sorted(variable for variable, count in waiting.items() if count == 0)
        while waiting:
            # Orders are made so that no row can lie above itself; should one ever do, the checkers see the outcome.
            variable = ready.pop() if ready else min(waiting)
            waiting.pop(variable, None)
            for lower, gap in after[variable]:
                if lower in waiting:
                    values[lower] = max(values[lower], values[variable] + gap)
                    waiting[lower] -= 1
                    if waiting[lower] == 0:
                        ready.append(lower)
        return values


def find_terminals(board: Board) -> Iterator[Terminal]:
    """Every end of a run that is a ground, a feed or a bare in-line connector."""
    for span in board.spans:
        for strand in span.strands:
            run = board.columns.runs[strand.run]
            end = next((end for end in run.ends if end.way == "t"), None)
            if end is None or strand.turn is not None or (strand.left is not None and strand.right is not None):
                continue
            if (strand.left_splice or strand.left is not None) and (strand.right_splice or strand.right is not None):
                continue
            side = "left" if strand.left is not None else "right" if strand.right is not None else "splice"
            kind = board.netlist.kinds[end.point]
            yield Terminal(strand.run, span.first, strand.channel, kind, end.point.owner, side)


def stations_at(span: Span, row: Row, column: int, board: Board) -> Iterator[str]:
    """The in-line connectors that have a cell at a row in a column inside a span."""
    for strand in span.strands:
        if carried_by(strand, row):
            run = board.columns.runs[strand.run]
            for cavity in (*run.chain.cavities, *(end.point for end in run.ends if end.way == "t")):
                if board.columns.cavities.get(cavity) == column:
                    yield cavity.owner


def carried_by(strand: Strand, row: Row) -> bool:
    """Whether a strand lies on a row where it passes a column: before its step, if it takes one."""
    if strand.turn is not None:
        return strand.left == row.left if strand.left is not None else strand.right == row.right
    if strand.left is not None:
        return strand.left == row.left
    if strand.right is not None:
        return strand.right == row.right
    return strand.run in row.free


def _reach(span: Span, board: Board, rows: tuple[Row, ...]) -> list[list[tuple[int, int]]]:
    """For each row the channels in which some wire lies on it."""
    last = span.end - 1
    reach: list[list[tuple[int, int]]] = [[] for _ in rows]
    at = {slot: number for number, row in enumerate(rows) for slot in (row.left, row.right) if slot is not None}
    free = {run: number for number, row in enumerate(rows) for run in row.free}
    channels = board.columns.channels
    for strand in span.strands:
        begin = channels.get(strand.left_splice, strand.channel if strand.channel >= 0 else span.begin)
        end = channels.get(strand.right_splice, strand.channel if strand.channel >= 0 else last)
        if strand.turn is not None:
            first = strand.left if strand.left is not None else strand.right
            assert first is not None
            extent = (span.begin, strand.channel) if strand.left is not None else (strand.channel, last)
            reach[at[first]].append(extent)
            reach[at[strand.turn]].append(extent)
            continue
        if strand.left is not None:
            reach[at[strand.left]].append((span.begin, last if strand.right is not None else end))
        if strand.right is not None:
            shares = strand.left is not None and at[strand.left] == at[strand.right]
            start = span.begin if shares else last if strand.left is not None else begin
            reach[at[strand.right]].append((start, last))
        if strand.left is None and strand.right is None:
            low, high = sorted((begin, end))
            reach[free[strand.run]].append((low, high))
    return reach


def _apart(
    first: list[tuple[int, int]], second: list[tuple[int, int]], upper: list[Terminal], lower: list[Terminal]
) -> float:
    """How far two rows must lie apart, the first above the second."""
    gap = 0.0
    if any(a <= d and c <= b for a, b in first for c, d in second):
        gap = PITCH
    for terminal in upper:
        same = any(_same_mark(terminal, other) for other in lower)
        if terminal.kind == "ground" and not same and any(a <= terminal.channel <= b for a, b in second):
            gap = max(gap, MARK_ROOM + 1.0)
    for terminal in lower:
        same = any(_same_mark(terminal, other) for other in upper)
        if terminal.kind == "feed" and not same and any(a <= terminal.channel <= b for a, b in first):
            gap = max(gap, MARK_ROOM + 1.0)
    return gap


def _same_mark(first: Terminal, second: Terminal) -> bool:
    """Whether two wires end at one ground symbol."""
    return (first.name, first.side, first.channel) == (
        second.name,
        second.side,
        second.channel,
    ) and first.side != "splice"
