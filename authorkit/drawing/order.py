"""The order of everything from top to bottom: parts, their pins, and the rows of wire between them.

A part's pins always stay together, because the search only ever moves whole parts and pins within a part. Both sides
have their own order; a wire is straight where the two orders allow it and takes one step sideways where they do not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from authorkit.drawing.strands import Block, Board, Span, Strand
from authorkit.model.point import Point

# What things cost. A crossing must always be worse than a bend, a bend worse than any matter of taste.
_CROSSING = 6.0
_STEP = 3.0  # a wire that leaves its row
_ROW_OF_SPLICE = 0.6  # each further height at which a splice has branches
_BAR = 1.6  # a splice that cannot be a dot
_LENGTH = 0.03  # for each row that a vertical spans
_SPLIT = 1.2  # a connector in pieces

_BUDGET = 26_000  # evaluations times strands: about a quarter of a second


@dataclass(frozen=True)
class Row:
    """One height in a span: the slots that lie on it left and right, and the runs of free strands that lie in it."""

    left: int | None
    right: int | None
    free: tuple[int, ...] = ()


@dataclass(frozen=True)
class Order:
    """The result: blocks with their slots per block column, rows per span."""

    columns: tuple[tuple[tuple[Block, tuple[int, ...]], ...], ...]
    rows: tuple[tuple[Row, ...], ...]


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


State = list[list[tuple[int, list[int]]]]  # per block column: block number and its slots in order


def find_order(board: Board, taste: Callable[[Block, Sequence[int]], float]) -> Order:
    """Search for the order with the fewest crossings and steps; `taste` is what a part's own pin order costs."""
    search = _Search(board, taste)
    state = search.run()
    rows = tuple(tuple(search.judge.rows(span, state)) for span in board.spans)
    columns = tuple(
        tuple((board.blocks[column][number], tuple(slots)) for number, slots in blocks)
        for column, blocks in enumerate(state)
    )
    return Order(columns, rows)


class _Judge:
    """Says what a state costs."""

    def __init__(self, board: Board, taste: Callable[[Block, Sequence[int]], float]) -> None:
        self.board, self.taste = board, taste
        self.tastes: dict[tuple[int, ...], float] = {}
        self.facts = [_SpanFacts(span, board) for span in board.spans]

    def cost(self, state: State) -> float:
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
        cost += sum(_STEP for left, right in facts.plain if at[left] != at[right])
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
        shared = _heaviest(
            sorted((at_left[a], at_right[b], weight) for a, b, weight in self.candidates)
        )
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
            if shared is not None:
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
            runs = sum(a != b for a, b in zip(names, names[1:], strict=False)) + 1
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


@dataclass
class _Search:
    """Deterministic hill climbing from two starts, within one budget of evaluations."""

    board: Board
    taste: Callable[[Block, Sequence[int]], float]
    judge: _Judge = field(init=False)
    left: int = field(init=False)

    def __post_init__(self) -> None:
        self.judge = _Judge(self.board, self.taste)
        strands = sum(len(span.strands) for span in self.board.spans)
        self.left = max(60, _BUDGET // (strands + 4))

    def run(self) -> State:
        """The best state found."""
        first: State = [
            [(number, [slot.number for slot in block.slots]) for number, block in enumerate(blocks)]
            for blocks in self.board.blocks
        ]
        budget = self.left
        grouped = self._grouped(first)
        starts = [
            self._swept(grouped, backwards=True),
            self._swept(grouped, backwards=False),
            first,
        ]
        best, best_cost = first, float("inf")
        for number, start in enumerate(starts):
            self.left = budget // len(starts) if number else budget // 2
            state, cost = self._climbed(start)
            if cost < best_cost - 1e-9:
                best, best_cost = state, cost
            if best_cost < _STEP:
                break
        return best

    def _cost(self, state: State) -> float:
        self.left -= 1
        return self.judge.cost(state)

    def _climbed(self, state: State) -> tuple[State, float]:
        cost = self._cost(state)
        improved = True
        while improved and self.left > 0:
            improved = False
            for candidate in self._moves(state):
                if self.left <= 0:
                    break
                candidate_cost = self._cost(candidate)
                if candidate_cost < cost - 1e-9:
                    state, cost, improved = candidate, candidate_cost, True
                    break
        return state, cost

    def _moves(self, state: State) -> Iterator[State]:
        """Every state one move away: pins sorted, blocks moved, pins moved, parts turned over."""
        for column in range(len(state)):
            yield self._sorted_pins(state, column)
        for column, blocks in enumerate(state):
            for place in range(len(blocks)):
                yield from self._block_moves(state, column, place)
        for column, blocks in enumerate(state):
            for place in range(len(blocks)):
                yield from self._pin_moves(state, column, place)

    def _block_moves(self, state: State, column: int, place: int) -> Iterator[State]:
        blocks = state[column]
        for target in range(len(blocks)):
            if target != place:
                changed = blocks[:place] + blocks[place + 1 :]
                changed.insert(target, blocks[place])
                moved = _with(state, column, changed)
                yield moved
                yield self._sorted_pins(self._sorted_pins(moved, column), _neighbour(column, len(state)))

    def _pin_moves(self, state: State, column: int, place: int) -> Iterator[State]:
        number, slots = state[column][place]
        if len(slots) < 2:
            return
        variants = [slots[::-1]]
        for here in range(len(slots)):
            for there in range(len(slots)):
                if there not in (here, here - 1):
                    changed = slots[:here] + slots[here + 1 :]
                    changed.insert(there, slots[here])
                    variants.append(changed)
        for variant in variants:
            changed_blocks = list(state[column])
            changed_blocks[place] = (number, variant)
            moved = _with(state, column, changed_blocks)
            yield moved
            yield self._sorted_pins(moved, _neighbour(column, len(state)))

    def _grouped(self, state: State) -> State:
        """Each part's pins in the order of the devices that they belong to."""
        return [
            [(number, self._by_device(self.board.blocks[column][number], slots)) for number, slots in blocks]
            for column, blocks in enumerate(state)
        ]

    def _by_device(self, block: Block, slots: list[int]) -> list[int]:
        if block.unit is None:
            return slots
        rank: dict[Point, int] = {}
        for device in sorted(block.unit.devices, key=lambda device: -len(device.terminals)):
            for terminal in device.terminals:
                rank.setdefault(terminal, len(rank))
        ranks = {slot: min((rank.get(point, 999) for point in self.board.slots[slot].points), default=999) for slot in slots}
        return sorted(slots, key=lambda slot: ranks[slot])

    def _swept(self, state: State, *, backwards: bool) -> State:
        """Barycentres: each column ordered by where its wires lead, to and fro."""
        columns = list(range(len(state)))
        order = columns[::-1] if backwards else columns
        for column in (*order[1:], *order[::-1][1:], *order[1:]):
            state = self._sorted_blocks(self._sorted_pins(state, column), column)
            state = self._sorted_pins(state, column)
        return state

    def _heights(self, state: State, column: int) -> dict[int, float]:
        """For each slot of a column the mean place of what it is joined to in the neighbouring columns."""
        places: dict[int, list[float]] = {}
        for facts in self.judge.facts:
            if column not in (facts.span.first, facts.span.first + 1):
                continue
            other = facts.span.first + 1 if column == facts.span.first else facts.span.first
            at = {}
            for _, slots in state[other]:
                for slot in slots:
                    at[slot] = float(len(at))
            for slot, targets in facts.targets.items():
                places.setdefault(slot, []).extend(at[target] for target in targets if target in at)
        return {slot: sum(found) / len(found) for slot, found in places.items() if found}

    def _sorted_pins(self, state: State, column: int) -> State:
        heights = self._heights(state, column)
        changed = []
        for number, slots in state[column]:
            known = [heights[slot] for slot in slots if slot in heights]
            middle = sum(known) / len(known) if known else 0.0
            changed.append((number, sorted(slots, key=lambda slot: heights.get(slot, middle))))
        return _with(state, column, changed)

    def _sorted_blocks(self, state: State, column: int) -> State:
        heights = self._heights(state, column)

        def middle(block: tuple[int, list[int]]) -> float:
            known = [heights[slot] for slot in block[1] if slot in heights]
            return sum(known) / len(known) if known else float(block[0])

        return _with(state, column, sorted(state[column], key=middle))


def _with(state: State, column: int, blocks: list[tuple[int, list[int]]]) -> State:
    return [*state[:column], blocks, *state[column + 1 :]]


def _neighbour(column: int, count: int) -> int:
    return column + 1 if column + 1 < count else column - 1
