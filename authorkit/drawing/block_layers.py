"""Where blocks and links stand: blocks in columns, links in the channels between them.

A block's column is its distance from the roots, so that a link never leads past a column: it joins two neighbouring
columns, or two blocks of one. Every end of a link has a height of its own in its channel, and every link that changes
its height a lane of its own, so that no line ever runs over another.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from authorkit.drawing.block_plan import BlockPlan, Link

STEP = 4.6  # from one end of a link to the next, in millimetres at the design size
MOST_COLUMNS = 4


def columns_of(plan: BlockPlan) -> list[list[str]]:
    """The blocks by their distance from the roots; what lies further than the last column stands in it."""
    near: dict[str, list[str]] = defaultdict(list)
    for link in plan.links:
        near[link.ends[0]].append(link.ends[1])
        near[link.ends[1]].append(link.ends[0])
    depth = dict.fromkeys(plan.roots, 0)
    _spread(plan.roots, near, depth)
    for block in plan.blocks:
        if block.id not in depth:
            depth[block.id] = 0
            _spread([block.id], near, depth)
    columns: list[list[str]] = [[] for _ in range(min(max(depth.values(), default=0) + 1, MOST_COLUMNS))]
    for block in plan.blocks:
        columns[min(depth[block.id], MOST_COLUMNS - 1)].append(block.id)
    return _ordered(columns, near)


def _spread(front: Iterable[str], near: Mapping[str, Sequence[str]], depth: dict[str, int]) -> None:
    queue = list(front)
    for name in queue:
        for other in near.get(name, ()):
            if other not in depth:
                depth[other] = depth[name] + 1
                queue.append(other)


def _ordered(columns: list[list[str]], near: Mapping[str, Sequence[str]]) -> list[list[str]]:
    """Each column in the order of what its blocks are joined to in the column before, twice to and fro."""
    result = [list(column) for column in columns]
    for _ in range(2):
        for number in (*range(1, len(result)), *range(len(result) - 2, -1, -1)):
            beside = [name for other in (number - 1, number + 1) if 0 <= other < len(result) for name in result[other]]
            place = {name: float(position) for position, name in enumerate(result[number])}
            for name in result[number]:
                at = [_share(other, result) for other in near.get(name, ()) if other in beside]
                if at:
                    place[name] = sum(at) / len(at) * len(result[number]) - 0.5
            result[number].sort(key=lambda name: (place[name], columns[number].index(name)))
    return result


def _share(name: str, columns: Sequence[Sequence[str]]) -> float:
    """How far down its column a block stands, from 0 to 1."""
    column = next(column for column in columns if name in column)
    return (column.index(name) + 0.5) / len(column)


@dataclass(frozen=True)
class Track:
    """A link's way through its channel: the rows of its two ends, and its lane (None if it is straight).

    `bow` says that both ends lie in the same column, so that the link leads out and back.
    """

    link: Link
    rows: tuple[int, int]
    lane: int | None
    bow: bool


@dataclass
class Layers:
    """The whole layout in rows of `STEP`: where each block begins, how many rows it has, the tracks of each channel."""

    columns: list[list[str]]
    size: dict[str, int]
    top: dict[str, int] = field(default_factory=dict)
    channels: list[list[Track]] = field(default_factory=list)

    @property
    def rows(self) -> int:
        """How many rows the drawing has."""
        return max((self.top[name] + self.size[name] for name in self.top), default=0)


class _NoRowError(Exception):
    """A block has no free row for the end of a link."""


def lay_out_blocks(plan: BlockPlan, columns: list[list[str]], least: Mapping[str, int]) -> Layers:
    """Place every block and link; a block grows until each of its links has a row of its own."""
    ends = _ends(plan, columns)
    layers = Layers(columns, {name: max(rows, ends.get(name, 0)) for name, rows in least.items()})
    while True:
        _stack(layers)
        try:
            layers.channels = [_tracks(number, plan, layers) for number in range(len(columns))]
        except _NoRowError as full:  # ends well: with as many rows as there are ends, every end finds one
            layers.size[str(full)] += 1
            continue
        return layers


def least_rows(plan: BlockPlan) -> int:
    """How many rows the highest column takes at least, whatever its words."""
    columns = columns_of(plan)
    ends = _ends(plan, columns)
    return max((sum(max(2, ends.get(name, 0)) + 1 for name in column) - 1 for column in columns), default=0)


def _ends(plan: BlockPlan, columns: Sequence[Sequence[str]]) -> dict[str, int]:
    """How many links end at the busier side of each block."""
    at = {name: number for number, column in enumerate(columns) for name in column}
    sides: Counter[tuple[str, bool]] = Counter()
    for link in plan.links:
        first, second = link.ends
        sides[first, at[second] >= at[first]] += 1
        sides[second, at[first] >= at[second]] += 1
    return {name: max(sides[name, True], sides[name, False]) for name in at}


def _stack(layers: Layers) -> None:
    """Blocks below one another with a row between them; shorter columns are centred."""
    heights = [sum(layers.size[name] + 1 for name in column) - 1 for column in layers.columns]
    for column, height in zip(layers.columns, heights, strict=True):
        row = (max(heights) - height) // 2
        for name in column:
            layers.top[name] = row
            row += layers.size[name] + 1


def _tracks(number: int, plan: BlockPlan, layers: Layers) -> list[Track]:
    """The links between a column and the next one, and those within the column."""
    here = layers.columns[number]
    there = layers.columns[number + 1] if number + 1 < len(layers.columns) else []
    pairs = []
    for link in plan.links:
        first, second = link.ends
        if first in here and second in (*here, *there):
            pairs.append((link, first, second))
        elif second in here and first in there:
            pairs.append((link, second, first))
    pairs.sort(key=lambda pair: (_middle(pair[1], layers) + _middle(pair[2], layers), pair[0].key))
    taken: set[int] = set()
    rows: dict[Link, tuple[int, int]] = {}
    for link, first, second in pairs:
        if second in there and (row := _straight(first, second, taken, layers)) is not None:
            rows[link] = (row, row)
    for link, first, second in pairs:
        if link not in rows:
            left = _free(first, _middle(second, layers), taken, layers)
            rows[link] = (left, _free(second, _middle(first, layers), taken, layers))
    return _with_lanes(pairs, rows, there)


def _middle(name: str, layers: Layers) -> float:
    return layers.top[name] + (layers.size[name] - 1) / 2


def _rows_of(name: str, layers: Layers) -> range:
    return range(layers.top[name], layers.top[name] + layers.size[name])


def _straight(first: str, second: str, taken: set[int], layers: Layers) -> int | None:
    """A free row that both blocks have, nearest to the middle of the smaller; taken with it."""
    both = [row for row in _rows_of(first, layers) if row in _rows_of(second, layers) and row not in taken]
    if not both:
        return None
    smaller = min((first, second), key=lambda name: layers.size[name])
    row = min(both, key=lambda row: (abs(row - _middle(smaller, layers)), row))
    taken.add(row)
    return row


def _free(name: str, towards: float, taken: set[int], layers: Layers) -> int:
    free = [row for row in _rows_of(name, layers) if row not in taken]
    if not free:
        raise _NoRowError(name)
    row = min(free, key=lambda row: (abs(row - towards), row))
    taken.add(row)
    return row


def _with_lanes(
    pairs: Sequence[tuple[Link, str, str]], rows: Mapping[Link, tuple[int, int]], there: Sequence[str]
) -> list[Track]:
    """Lanes in the order in which links that lead down, then those that lead up, do not cross each other."""
    slanted = [link for link, _, second in pairs if second in there and rows[link][0] != rows[link][1]]
    slanted.sort(key=lambda link: _lane_key(*rows[link]))
    bows = [link for link, _, second in pairs if second not in there]
    bows.sort(key=lambda link: -abs(rows[link][0] - rows[link][1]))
    lanes = {link: lane for links in (slanted, bows) for lane, link in enumerate(links)}
    return [Track(link, rows[link], lanes.get(link), second not in there) for link, _, second in pairs]


def _lane_key(left: int, right: int) -> tuple[bool, int]:
    return (True, left) if right < left else (False, -left)
