"""Verticals and their lanes: which of them lies left of which in each channel, and how far apart.

A vertical is a splice with the rows of its branches, a wire that steps from one row to another, or a wire that turns
back. Every vertical has a lane of its own wherever it would touch another: two wires never share a line.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations

from authorkit.drawing.heights import Heights
from authorkit.drawing.measures import LANE, SPLICE_LANE
from authorkit.drawing.order import Order
from authorkit.drawing.strands import Board, Span, Strand

_MOST_TRIED = 6  # beyond this many verticals in one channel they are sorted by exchanges, not by trying all orders


@dataclass(frozen=True)
class Vertical:
    """One line up and down. `name` is a splice, or '' for the run `run`; `left` and `right` are the heights of the
    rows that come from either side."""

    channel: int
    span: int
    name: str
    run: int
    left: tuple[float, ...]
    right: tuple[float, ...]
    linked: tuple[str, ...] = ()

    @property
    def low(self) -> float:
        """Its upper end on the page."""
        return min((*self.left, *self.right))

    @property
    def high(self) -> float:
        """Its lower end on the page."""
        return max((*self.left, *self.right))


@dataclass(frozen=True)
class Lanes:
    """For each channel its verticals with their distance from the first lane, and the width of all lanes."""

    placed: Mapping[int, tuple[tuple[Vertical, float], ...]]

    def width(self, channel: int) -> float:
        """From the first lane to the last."""
        return max((x for _, x in self.placed.get(channel, ())), default=0.0)


def find_lanes(board: Board, order: Order, heights: Heights, links: Mapping[tuple[str, str], float]) -> Lanes:
    """Give every vertical its lane; `links` says how far apart two splices joined by a wire must be."""
    channels: dict[int, list[Vertical]] = defaultdict(list)
    for vertical in verticals(board, heights):
        channels[vertical.channel].append(vertical)
    placed = {}
    for channel, found in channels.items():
        ordered = _ordered(found, links)
        placed[channel] = tuple(zip(ordered, _positions(ordered, links), strict=True))
    return Lanes(placed)


def verticals(board: Board, heights: Heights) -> Iterator[Vertical]:
    """Everything that goes up and down between two columns."""
    for span in board.spans:
        splices: dict[str, tuple[list[float], list[float]]] = defaultdict(lambda: ([], []))
        for strand in span.strands:
            yield from _of_strand(strand, span, heights)
            _collect(strand, span, heights, splices)
        for name, (left, right) in splices.items():
            yield Vertical(board.columns.channels[name], span.first, name, -1, tuple(left), tuple(right))


def _of_strand(strand: Strand, span: Span, heights: Heights) -> Iterator[Vertical]:
    slots = heights.slots
    if strand.turn is not None:
        first = strand.left if strand.left is not None else strand.right
        assert first is not None
        ends = (slots[first], slots[strand.turn])
        left, right = (ends, ()) if strand.left is not None else ((), ends)
        yield Vertical(strand.channel, span.first, "", strand.run, left, right)
    elif strand.left is not None and strand.right is not None:
        here, there = slots[strand.left], slots[strand.right]
        if abs(here - there) > 1e-6:
            yield Vertical(span.end - 1, span.first, "", strand.run, (here,), (there,))


def _collect(
    strand: Strand, span: Span, heights: Heights, splices: Mapping[str, tuple[list[float], list[float]]]
) -> None:
    """Add a strand's row to the splices at its ends."""
    free = heights.free.get((span.first, strand.run), 0.0)
    if strand.left_splice:
        splices[strand.left_splice][1].append(heights.slots[strand.right] if strand.right is not None else free)
    if strand.right_splice:
        splices[strand.right_splice][0].append(heights.slots[strand.left] if strand.left is not None else free)


def _ordered(found: list[Vertical], links: Mapping[tuple[str, str], float]) -> list[Vertical]:
    """The order from left to right with the fewest crossings."""
    if len(found) < 2:
        return found
    table = [[_crossings(west, east, links) for east in found] for west in found]

    def cost(order: Sequence[int]) -> float:
        return sum(table[a][b] for place, a in enumerate(order) for b in order[place + 1 :])

    numbers = list(range(len(found)))
    best = min(permutations(numbers), key=cost) if len(found) <= _MOST_TRIED else tuple(_exchanged(numbers, table))
    return [found[number] for number in best]


def _exchanged(order: list[int], table: list[list[float]]) -> list[int]:
    """Neighbours exchanged for as long as it helps; each exchange changes only the pair's own crossings."""
    improved = True
    while improved:
        improved = False
        for place in range(len(order) - 1):
            a, b = order[place], order[place + 1]
            if table[b][a] < table[a][b]:
                order[place], order[place + 1] = b, a
                improved = True
    return order


def _crossings(west: Vertical, east: Vertical, links: Mapping[tuple[str, str], float]) -> float:
    """What it costs to have one vertical left of another."""
    total = float(sum(west.low < row < west.high for row in east.left))
    total += sum(east.low < row < east.high for row in west.right)
    if (east.name, west.name) in links:
        total += 1000.0
    # All else being equal the longer vertical stands further out, so that the shorter ones nest inside it.
    return total + 0.001 * ((west.high - west.low) < (east.high - east.low))


def _positions(ordered: list[Vertical], links: Mapping[tuple[str, str], float]) -> list[float]:
    """Distances from the first lane; verticals that do not meet may share a lane."""
    positions: list[float] = []
    for number, vertical in enumerate(ordered):
        apart = [(positions[other], _distance(ordered[other], vertical, links)) for other in range(number)]
        positions.append(max((x + distance for x, distance in apart if distance), default=0.0))
    return positions


def _distance(west: Vertical, east: Vertical, links: Mapping[tuple[str, str], float]) -> float:
    link = links.get((west.name, east.name), 0.0)
    margin = 4.0
    if west.high + margin < east.low or east.high + margin < west.low:
        # Side by side they would not touch, but a row of one may have to pass the other.
        meets = any(west.low - 1 < row < west.high + 1 for row in east.left)
        meets = meets or any(east.low - 1 < row < east.high + 1 for row in west.right)
        return max(link, LANE if meets else 0.0)
    return max(link, SPLICE_LANE if west.name or east.name else LANE)
