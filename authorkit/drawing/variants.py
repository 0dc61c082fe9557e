"""One circuit on several series, drawn so that a class can compare: common rows at the same height, parts on the right
at the same distance, one type size.

Each series is laid out for itself in the order of the fullest one; then each is asked to make room for what the others
have, until nothing moves any more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from authorkit.drawing.circuit import draw_circuit, draw_layouts
from authorkit.drawing.guide import Guide
from authorkit.drawing.layout import Arranged, Layout, arranged, place
from authorkit.drawing.netlist import read_netlist
from authorkit.drawing.page import fits_somewhere
from authorkit.drawing.paint import Emphasis, Placed
from authorkit.drawing.picture import Picture
from authorkit.drawing.strands import Key
from authorkit.model.point import Point
from authorkit.model.wiring import Wiring
from authorkit.problems import Problem

_MOST_ROUNDS = 4
_STILL = 0.01  # mm

Drawn = tuple[tuple[Picture, ...], tuple[Problem, ...]]


def draw_variants(wirings: Sequence[Wiring], *, coloured: bool = False) -> tuple[Drawn, ...]:
    """The circuit of each series, and what could not be drawn of it, in the order given.

    Circuits that need several sheets, or that would not fit the page in a common layout, are drawn each for itself.
    """
    layouts = _common(wirings, Emphasis(coloured=coloured))
    if layouts is None:
        return tuple(draw_circuit(wiring, coloured=coloured) for wiring in wirings)
    return draw_layouts(layouts, wirings)


def _common(wirings: Sequence[Wiring], emphasis: Emphasis) -> list[Layout] | None:
    """All circuits laid out alike; None if one of them has nothing to draw or does not fit a page then."""
    if len(wirings) < 2 or any(not wiring.wires for wiring in wirings):
        return None
    fullest = max(range(len(wirings)), key=lambda number: (len(wirings[number].wires), -number))
    everything = {fullest: arranged(read_netlist(wirings[fullest]))}
    for number, wiring in enumerate(wirings):
        if number != fullest:
            everything[number] = _arranged_like(wiring, everything[fullest])
    # The second search begins where the first ended and may find more; then the first looks again.
    better = next((each for each in everything.values() if not _same_order(each, everything[fullest])), None)
    if better is not None:
        everything[fullest] = _arranged_like(wirings[fullest], better)
    layouts = _settled([everything[number] for number in range(len(wirings))], emphasis)
    return layouts if layouts and all(fits_somewhere(layout.scene) for layout in layouts) else None


def _arranged_like(wiring: Wiring, model: Arranged) -> Arranged:
    return arranged(read_netlist(like(wiring, model)), _ranks(model))


def _same_order(first: Arranged, second: Arranged) -> bool:
    """Whether the pins that both have come in one order."""
    one, other = _ranks(first), _ranks(second)
    return [point for point in one if point in other] == [point for point in other if point in one]


def _settled(everything: Sequence[Arranged], emphasis: Emphasis) -> list[Layout]:
    """Each laid out with room for the others, again and again until they agree; nothing if they never do."""
    guide = guide_of(place(each, emphasis).placed for each in everything)
    for _ in range(_MOST_ROUNDS):
        layouts = [place(each, emphasis, guide) for each in everything]
        after = guide_of(layout.placed for layout in layouts)
        if _agree(guide, after):
            return layouts
        guide = after
    return []


def _agree(before: Guide, after: Guide) -> bool:
    moved = [abs(after.heights[key] - before.heights.get(key, 0.0)) for key in after.heights]
    return max(moved, default=0.0) < _STILL and abs(after.right - before.right) < _STILL


def guide_of(drawings: Iterable[Placed]) -> Guide:
    """What has room for all of several drawings."""
    drawings = list(drawings)
    heights: dict[Key, float] = {}
    for placed in drawings:
        for key, height in _heights(placed):
            heights[key] = max(height, heights.get(key, 0.0))
    lasts = {placed.board.columns.last for placed in drawings}
    widths: dict[int, float] = {}
    if len(lasts) == 1:
        for placed in drawings:
            for channel, start in placed.edges.starts.items():
                widths[channel] = max(widths.get(channel, 0.0), placed.edges.ends[channel] - start)
    return Guide(
        heights,
        first=max(placed.edges.starts.get(0, 0.0) for placed in drawings),
        right=max(placed.edges.ends.get(placed.board.columns.last - 1, 0.0) for placed in drawings),
        last=lasts.pop() if len(lasts) == 1 else -1,
        widths=widths,
    )


def _heights(placed: Placed) -> Iterable[tuple[Key, float]]:
    """The height of each pin, by pin and number of the wire in it."""
    for slot in placed.board.slots:
        for key in (slot.left, slot.right):
            if key is not None:
                yield key, placed.heights.slots[slot.number]


def like(wiring: Wiring, model: Arranged) -> Wiring:
    """A wiring with its parts in the order of another drawing, and on the sides where they stand there."""
    rank = {
        block.unit.id: (number, position)
        for number, column in enumerate(model.order.columns)
        for position, (block, _) in enumerate(column)
        if block.unit is not None
    }
    sides = {name: side for name, side in model.board.columns.sides.items() if side in ("left", "right")}
    parts = [replace(part, side=part.side or sides.get(part.id, "")) for part in wiring.parts]
    known = sorted((part for part in parts if part.id in rank), key=lambda part: rank[part.id])
    queue = iter(known)
    # What the other drawing does not have keeps its place among the rest.
    return replace(wiring, parts=tuple(next(queue) if part.id in rank else part for part in parts))


def _ranks(model: Arranged) -> dict[Point, int]:
    """The pins of a drawing, numbered column by column from top to bottom."""
    ranks: dict[Point, int] = {}
    for column in model.order.columns:
        for _, slots in column:
            for slot in slots:
                for point in model.board.slots[slot].points:
                    ranks.setdefault(point, len(ranks))
    return ranks
