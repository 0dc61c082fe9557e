"""What an order of parts, pins and rows costs: crossings first, then steps, then taste."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from authorkit.drawing.strands import Block, Board, Span, Strand

# What things cost. A crossing must always be worse than a bend, a bend worse than any matter of taste.
_CROSSING = 6.0
STEP = 3.0  # a wire that leaves its row
_ROW_OF_SPLICE = 0.6  # each further height at which a splice has branches
_BAR = 1.6  # a splice that cannot be a dot
_LENGTH = 0.03  # for each row that a vertical spans
_SPLIT = 1.2  # a connector in pieces

State = list[list[tuple[int, list[int]]]]
"""Per block column: block numbers and their slots, both from top to bottom."""

Taste = Callable[[Block, Sequence[int]], float]


@dataclass(frozen=True)
class Row:
    """One height in a span: the slots that lie on it left and right, and the runs of free strands that lie in it."""

    left: int | None
    right: int | None
    free: tuple[int, ...] = ()


@dataclass
class _Vertical:
    """A line up and down in a channel: a splice, a step, or a turning wire, with the rows that end at it."""

    channel: int
    left: list[int]
    right: list[int]
    is_splice: bool = False

    @property
    def needs_bar(self) -> bool:
        """Whether no row has at most one branch above it, below it, left and right of it."""
        branches = [*self.left, *self.right]
        return self.is_splice and not any(
            sum(other < row for other in branches) <= 1
            and sum(other > row for other in branches) <= 1
            and self.left.count(row) <= 1
            and self.right.count(row) <= 1
            for row in branches
        )

    @property
    def low(self) -> int:
        return min((*self.left, *self.right))

    @property
    def high(self) -> int:
        return max((*self.left, *self.right))


class Judge:
    """Says what a state costs."""

    def __init__(self, board: Board, taste: Taste) -> None:
        self.board, self.taste = board, taste
        self.tastes: dict[tuple[int, ...], float] = {}
        self.facts = [_SpanFacts(span, board) for span in board.spans]

    def cost(self, state: State) -> float:
        """One number for a state; smaller is better."""
        total = 0.0
        for column, blocks in enumerate(state):
            for place, (number, slots) in enumerate(blocks):
                key = (column, number, *slots)
                if key not in self.tastes:
                    self.tastes[key] = self.taste(self.board.blocks[column][number], slots)
                total += self.tastes[key] + 0.01 * abs(place - number)
        return total + sum(self._span_cost(facts, state) for facts in self.facts)

    def rows(self, span: Span, state: State) -> list[Row]:
        """The rows of a span from top to bottom."""
        facts = self.facts[span.first]
        return facts.with_free(facts.merged(state))

    def _span_cost(self, facts: _SpanFacts, state: State) -> float:
        rows = facts.with_free(facts.merged(state))
        at = {}
        for number, row in enumerate(rows):
            if row.left is not None:
                at[row.left] = number
            if row.right is not None:
                at[row.right] = number
        free = {strand: number for number, row in enumerate(rows) for strand in row.free}
        straight, verticals = facts.verticals(at, free)
        cost = _crossings(straight, verticals) * _CROSSING
        for vertical in verticals:
            rows_at = {*vertical.left, *vertical.right}
            cost += (vertical.high - vertical.low) * _LENGTH + (len(rows_at) - 1) * _ROW_OF_SPLICE
            cost += _BAR * vertical.needs_bar
        cost += sum(STEP for left, right in facts.plain if at[left] != at[right])
        return cost + _SPLIT * facts.pieces(at)


def _crossings(straight: list[int], verticals: list[_Vertical]) -> int:
    """Wires that must cross whatever the lanes, as well as can be told before there are lanes."""
    total = 0
    extents = [(vertical.low, vertical.high) for vertical in verticals]
    for low, high in extents:
        if high - low > 1:
            total += sum(low < row < high for row in straight)
    for number, first in enumerate(verticals):
        for other in range(number + 1, len(verticals)):
            second = verticals[other]
            ahead = _crossed(first, extents[other], second, extents[number])
            behind = _crossed(second, extents[number], first, extents[other])
            if first.channel < second.channel:
                total += ahead
            elif first.channel > second.channel:
                total += behind
            else:
                total += min(ahead, behind)
    return total


def _crossed(west: _Vertical, east_extent: tuple[int, int], east: _Vertical, west_extent: tuple[int, int]) -> int:
    """Crossings of two verticals, one left of the other, with the rows that end at the other one."""
    low, high = west_extent
    count = sum(low < row < high for row in east.left) if high - low > 1 else 0
    low, high = east_extent
    return count + (sum(low < row < high for row in west.right) if high - low > 1 else 0)


class _SpanFacts:
    """What stays the same of a span while the order changes."""

    def __init__(self, span: Span, board: Board) -> None:
        self.span = span
        self.last = span.end - 1
        self.plain: list[tuple[int, int]] = []
        self.splices: dict[str, tuple[int, list[int], list[int]]] = {}
        self.turns: list[tuple[int, bool, tuple[int, int]]] = []
        self.free: list[tuple[int, Strand]] = []
        self.loose: list[tuple[int, bool, int]] = []
        self.targets: dict[int, list[int]] = {}
        self.crowd: list[tuple[int, str, int]] = []
        for strand in span.strands:
            self._sort(strand, board)
        self.candidates = self._candidates()
        self.left_slots = self._present(left=True)
        self.right_slots = self._present(left=False)
        self._stations(board)

    def _splice(self, name: str, board: Board) -> tuple[int, list[int], list[int]]:
        return self.splices.setdefault(name, (board.columns.channels[name], [], []))

    def _sort(self, strand: Strand, board: Board) -> None:
        if strand.turn is not None:
            first = strand.left if strand.left is not None else strand.right
            assert first is not None
            self.turns.append((strand.channel, strand.left is not None, (first, strand.turn)))
        elif strand.left is not None and strand.right is not None:
            self.plain.append((strand.left, strand.right))
        elif strand.left is not None and strand.right_splice:
            self._splice(strand.right_splice, board)[1].append(strand.left)
        elif strand.right is not None and strand.left_splice:
            self._splice(strand.left_splice, board)[2].append(strand.right)
        elif strand.left is not None:
            self.loose.append((strand.channel, True, strand.left))
        elif strand.right is not None:
            self.loose.append((strand.channel, False, strand.right))
        else:
            self.free.append((strand.run, strand))
            for name in filter(None, (strand.left_splice, strand.right_splice)):
                self._splice(name, board)

    def _candidates(self) -> list[tuple[int, int, float]]:
        """Pairs of slots that could share a row, with what that is worth."""
        pairs = [(left, right, 3.0) for left, right in self.plain]
        for _, left_slots, right_slots in self.splices.values():
            pairs += [(left, right, 1.0) for left in left_slots for right in right_slots]
        for left, right, _ in pairs:
            self.targets.setdefault(left, []).append(right)
            self.targets.setdefault(right, []).append(left)
        return pairs

    def _present(self, *, left: bool) -> set[int]:
        slots = {pair[0 if left else 1] for pair in self.plain}
        for _, left_slots, right_slots in self.splices.values():
            slots.update(left_slots if left else right_slots)
        slots.update(slot for _, is_left, pair in self.turns if is_left == left for slot in pair)
        slots.update(slot for _, is_left, slot in self.loose if is_left == left)
        return slots

    def _stations(self, board: Board) -> None:
        """Which slot carries which in-line connector, for counting the pieces that connectors fall into."""
        for strand in self.span.strands:
            run = board.columns.runs[strand.run]
            slot = strand.left if strand.left is not None else strand.right
            if slot is None:
                continue
            for cavity in run.chain.cavities:
                column = board.columns.cavities[cavity]
                if self.span.begin < column < self.span.end:
                    self.crowd.append((column, cavity.owner, slot))

    def merged(self, state: State) -> list[Row]:
        """Both orders brought together: rows that can be shared are, the others lie between them."""
        left = [slot for _, slots in state[self.span.first] for slot in slots if slot in self.left_slots]
        right = [slot for _, slots in state[self.span.first + 1] for slot in slots if slot in self.right_slots]
        at_left = {slot: number for number, slot in enumerate(left)}
        at_right = {slot: number for number, slot in enumerate(right)}
        shared = _heaviest(sorted((at_left[a], at_right[b], weight) for a, b, weight in self.candidates))
        rows: list[Row] = []
        i = j = 0
        for a, b in [*shared, (len(left), len(right))]:
            rows += self._between(left[i:a], right[j:b], at_left, at_right)
            if a < len(left):
                rows.append(Row(left[a], right[b]))
            i, j = a + 1, b + 1
        return rows

    def _between(
        self, left: list[int], right: list[int], at_left: Mapping[int, int], at_right: Mapping[int, int]
    ) -> Iterator[Row]:
        """Rows of one side only, those that lead upwards first."""
        i = j = 0
        while i < len(left) or j < len(right):
            if j == len(right) or (i < len(left) and self._goes_first(left[i], right[j], at_left, at_right)):
                yield Row(left[i], None)
                i += 1
            else:
                yield Row(None, right[j])
                j += 1

    def _goes_first(self, left: int, right: int, at_left: Mapping[int, int], at_right: Mapping[int, int]) -> bool:
        """Whether a row of the left side lies above one of the right side."""
        targets = [at_right[slot] for slot in self.targets.get(left, ())]
        if targets:
            return sum(targets) / len(targets) <= at_right[right]
        targets = [at_left[slot] for slot in self.targets.get(right, ())]
        return not targets or sum(targets) / len(targets) > at_left[left]

    def with_free(self, rows: list[Row]) -> list[Row]:
        """Rows for wires that touch no part in this span: between splices, or from a splice to a ground or a feed."""
        for run, strand in self.free:
            rows = self._with_one(rows, run, strand)
        return rows

    def _with_one(self, rows: list[Row], run: int, strand: Strand) -> list[Row]:
        at = {slot: place for place, row in enumerate(rows) for slot in (row.left, row.right) if slot is not None}
        first, second = strand.left_splice, strand.right_splice
        if first and second:
            shared = self._shared(at, first, second)
            if shared is not None and not rows[shared].free:
                row = rows[shared]
                return [*rows[:shared], Row(row.left, row.right, (*row.free, run)), *rows[shared + 1 :]]
        name = first or second
        _, left, right = self.splices.get(name, (0, [], []))
        base = max((at[slot] for slot in (left or right)), default=len(rows) - 1)
        return [*rows[: base + 1], Row(None, None, (run,)), *rows[base + 1 :]]

    def _shared(self, at: Mapping[int, int], first: str, second: str) -> int | None:
        """A row that ends at the first splice from the left, or at the second from the right, and so can run on."""
        _, first_left, first_right = self.splices[first]
        _, second_left, second_right = self.splices[second]
        taken = {at[slot] for slot in (*first_right, *second_left)}
        for slot in (*first_left, *second_right):
            if at[slot] not in taken:
                return at[slot]
        return None

    def verticals(self, at: Mapping[int, int], free: Mapping[int, int]) -> tuple[list[int], list[_Vertical]]:
        """The rows that run straight through, and everything that goes up and down."""
        straight, verticals = [], []
        for left, right in self.plain:
            if at[left] == at[right]:
                straight.append(at[left])
            else:
                verticals.append(_Vertical(self.last, [at[left]], [at[right]]))
        extra: dict[str, tuple[list[int], list[int]]] = {name: ([], []) for name in self.splices}
        for run, strand in self.free:
            if strand.left_splice:
                extra[strand.left_splice][1].append(free[run])
            if strand.right_splice:
                extra[strand.right_splice][0].append(free[run])
        for name, (channel, left_slots, right_slots) in self.splices.items():
            rows_left = [*(at[slot] for slot in left_slots), *extra[name][0]]
            rows_right = [*(at[slot] for slot in right_slots), *extra[name][1]]
            if rows_left or rows_right:
                verticals.append(_Vertical(channel, rows_left, rows_right, True))
        for channel, is_left, pair in self.turns:
            ends = [at[slot] for slot in pair]
            verticals.append(_Vertical(channel, ends, []) if is_left else _Vertical(channel, [], ends))
        for channel, is_left, slot in self.loose:
            row = at[slot]
            verticals.append(_Vertical(channel, [row], []) if is_left else _Vertical(channel, [], [row]))
        return straight, verticals

    def pieces(self, at: Mapping[int, int]) -> int:
        """How many more pieces than connectors there are in the columns of this span."""
        columns: dict[int, list[tuple[int, str]]] = {}
        for column, name, slot in self.crowd:
            columns.setdefault(column, []).append((at[slot], name))
        extra = 0
        for cells in columns.values():
            cells.sort()
            names = [name for _, name in cells]
            runs = sum(a != b for a, b in itertools.pairwise(names)) + 1
            extra += runs - len(set(names))
        return extra


def _heaviest(pairs: list[tuple[int, int, float]]) -> list[tuple[int, int]]:
    """The most valuable set of pairs that do not cross: both numbers rise from pair to pair."""
    best: list[tuple[float, int]] = []  # value up to here, and the pair before
    for number, (a, b, weight) in enumerate(pairs):
        value, before = 0.0, -1
        for other in range(number):
            if pairs[other][0] < a and pairs[other][1] < b and best[other][0] > value:
                value, before = best[other][0], other
        best.append((value + weight, before))
    if not best:
        return []
    place = max(range(len(best)), key=lambda number: best[number][0])
    chosen = []
    while place >= 0:
        chosen.append((pairs[place][0], pairs[place][1]))
        place = best[place][1]
    return chosen[::-1]
