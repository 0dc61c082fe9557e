"""The order of everything from top to bottom: parts, their pins, and the rows of wire between them.

A part's pins always stay together, because the search only ever moves whole parts and pins within a part. Both sides
have their own order; a wire is straight where the two orders allow it and takes one step sideways where they do not.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from authorkit.drawing.judge import STEP, Judge, Row, State, Taste
from authorkit.drawing.strands import Block, Board
from authorkit.model.point import Point

_BUDGET = 26_000  # evaluations times strands: about a quarter of a second


@dataclass(frozen=True)
class Order:
    """The result: blocks with their slots per block column, rows per span."""

    columns: tuple[tuple[tuple[Block, tuple[int, ...]], ...], ...]
    rows: tuple[tuple[Row, ...], ...]


def find_order(board: Board, taste: Taste, wanted: Mapping[Point, int] | None = None) -> Order:
    """Search for the order with the fewest crossings and steps; `taste` is what a part's own pin order costs.

    `wanted` ranks pins by their order in another drawing: the search begins there and leaves it only for less cost.
    """
    search = _Search(board, taste, wanted or {})
    state = search.run()
    rows = tuple(tuple(search.judge.rows(span, state)) for span in board.spans)
    columns = tuple(
        tuple((board.blocks[column][number], tuple(slots)) for number, slots in blocks)
        for column, blocks in enumerate(state)
    )
    return Order(columns, rows)


@dataclass
class _Search:
    """Deterministic hill climbing from two starts, within one budget of evaluations."""

    board: Board
    taste: Taste
    wanted: Mapping[Point, int]
    judge: Judge = field(init=False)
    left: int = field(init=False)

    def __post_init__(self) -> None:
        self.judge = Judge(self.board, self.taste)
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
            *([self._ranked(first)] if self.wanted else ()),
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
            if best_cost < STEP:
                break
        return best

    def _ranked(self, state: State) -> State:
        """Everything in the order that is wanted; what that does not know stays behind what stands before it."""
        ranked: State = []
        for blocks in state:
            inner = [(number, self._by_rank(slots)) for number, slots in blocks]
            rank = {number: min(map(self._rank, slots), default=len(self.wanted)) for number, slots in inner}
            known = sorted((block for block in inner if rank[block[0]] < len(self.wanted)), key=lambda b: rank[b[0]])
            queue = iter(known)
            ranked.append([next(queue) if rank[block[0]] < len(self.wanted) else block for block in inner])
        return ranked

    def _by_rank(self, slots: list[int]) -> list[int]:
        queue = iter(sorted((slot for slot in slots if self._rank(slot) < len(self.wanted)), key=self._rank))
        return [next(queue) if self._rank(slot) < len(self.wanted) else slot for slot in slots]

    def _rank(self, slot: int) -> int:
        last = len(self.wanted)
        return min((self.wanted.get(point, last) for point in self.board.slots[slot].points), default=last)

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
        ranks = {
            slot: min((rank.get(point, 999) for point in self.board.slots[slot].points), default=999) for slot in slots
        }
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
            at: dict[int, float] = {}
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
