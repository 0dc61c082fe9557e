"""The layout of one circuit: facts become columns, an order, heights, lanes and at last shapes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from authorkit.drawing.bundle import notes
from authorkit.drawing.columns import arrange
from authorkit.drawing.frame import LabelWidths, find_edges
from authorkit.drawing.guide import Guide
from authorkit.drawing.heights import find_heights
from authorkit.drawing.ink import width_of
from authorkit.drawing.inside import Inside, plan_inside
from authorkit.drawing.lanes import find_lanes
from authorkit.drawing.measures import STRIP_WIDTH
from authorkit.drawing.middle import Middle, plan_middle
from authorkit.drawing.netlist import Netlist, Unit
from authorkit.drawing.order import Order, find_order
from authorkit.drawing.page import Box, box_of, fits, fitting, framed
from authorkit.drawing.paint import CHANGED_MARK, Emphasis, Placed, label_of, paint
from authorkit.drawing.route import find_routes
from authorkit.drawing.shapes import Scene
from authorkit.drawing.strands import Board, cut
from authorkit.drawing.taste import taste_of
from authorkit.model.point import Point
from authorkit.problems import Problem

_GOOD_SIZE = 8.0  # down to here labels stay in one line; below, two lines are the lesser evil


@dataclass(frozen=True)
class Layout:
    """A laid-out circuit: its scene at the design size, and how it came about.

    `box` is what the scene cuts out of the layout's own millimetres, which count from the left parts and the first row.
    """

    scene: Scene
    placed: Placed
    crowded: int
    problems: tuple[Problem, ...]
    emphasis: Emphasis
    notes: tuple[str, ...] = ()
    box: Box = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Arranged:
    """A circuit of which the order from left to right and from top to bottom is settled, but no length."""

    board: Board
    order: Order


def arranged(netlist: Netlist, wanted: Mapping[Point, int] | None = None) -> Arranged:
    """Columns, then the order of everything in them; `wanted` ranks pins by their order in another drawing."""
    board = cut(netlist, arrange(netlist))
    return Arranged(board, find_order(board, taste_of(board, wanted or {}), wanted))


def lay_out(netlist: Netlist, emphasis: Emphasis) -> Layout:
    """The whole picture at the design size."""
    return place(arranged(netlist), emphasis)


def place(everything: Arranged, emphasis: Emphasis, guide: Guide | None = None) -> Layout:
    """Lengths to an order; `guide` asks for room that the drawings of other series need."""
    board, order = everything.board, everything.order
    netlist, least = board.netlist, guide.heights if guide else {}
    insides = _insides(board, order)
    titles = {
        unit.id: _title(unit, _heading_room(unit, board, insides), emphasis)
        for unit in netlist.units
        if unit.id in insides
    }
    heights = find_heights(board, order, insides, {name: len(lines) for name, lines in titles.items()}, least=least)
    candidates = []
    for split, roomy in ((False, False), (True, False), (True, True)):
        labels = replace(_label_widths(board, emphasis, split=split), room_for_splices=roomy)
        lanes = find_lanes(board, order, heights, _links(board, labels))
        edges = find_edges(board, lanes, heights, insides=insides, labels=labels, guide=guide)
        routes = find_routes(board, heights, lanes, edges, labels=labels)
        placed = Placed(netlist, board, order, heights, edges, routes, insides, titles)
        shapes, crowded = paint(placed, emphasis)
        box = box_of(shapes)
        said = notes(netlist.wiring, shapes)
        below = len(said) + any(shape.role == "strong-wire" for shape in shapes)
        scene = framed(shapes, box, below)
        size, landscape = fitting(scene)
        candidates.append(Layout(scene, placed, crowded, tuple(board.stray), emphasis, said, box))
        if size >= _GOOD_SIZE and not landscape and fits(scene, size, landscape) and not crowded:
            break
    return max(candidates, key=_quality)


def _quality(layout: Layout) -> tuple[bool, int, bool, float]:
    """On the page before anything else, then no text in another's way, then upright, then large."""
    size, landscape = fitting(layout.scene)
    return fits(layout.scene, size, landscape), -layout.crowded, not landscape, size


def _insides(board: Board, order: Order) -> dict[str, Inside | Middle]:
    """Plan the inside of every part for the order of its rows."""
    insides: dict[str, Inside | Middle] = {}
    for blocks in order.columns:
        for block, numbers in blocks:
            if block.unit is None:
                continue
            slots = [board.slots[number] for number in numbers]
            if board.columns.sides[block.unit.id] == "mid":
                insides[block.unit.id] = plan_middle(block.unit, slots, board.netlist, board.columns.faces)
            else:
                rows = tuple(dict.fromkeys(point for slot in slots for point in slot.points))
                insides[block.unit.id] = plan_inside(block.unit, rows, board.netlist)
    return insides


def _heading_room(unit: Unit, board: Board, insides: Mapping[str, Inside | Middle]) -> float:
    """How wide a heading may be without making the picture wider: as the widest part of its column."""
    side = board.columns.sides[unit.id]
    mates = [name for name in insides if board.columns.sides[name] == side] if side != "mid" else [unit.id]
    return max(insides[name].depth for name in mates) + STRIP_WIDTH


def _title(unit: Unit, room: float, emphasis: Emphasis) -> tuple[str, ...]:
    """The heading of a part in lines: what follows its reference letters on the first, the rest below."""
    mark = CHANGED_MARK if unit.id in emphasis.changed else ""
    head = width_of(f"{mark}{unit.id} ", bold=True)
    whole = head + width_of(unit.part.name)
    room = max(room, 24.0, 0.58 * whole)
    lines = [""]
    for word in unit.part.name.split():
        longer = f"{lines[-1]} {word}".strip()
        if width_of(longer) + (head if len(lines) == 1 else 0.0) <= room or (not lines[-1] and len(lines) > 1):
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _label_widths(board: Board, emphasis: Emphasis, *, split: bool) -> LabelWidths:
    """How long a stretch each section needs for its label; less if labels may be broken in two lines."""
    widths = {}
    for number, run in enumerate(board.columns.runs):
        for section, wire in enumerate(run.chain.wires):
            parts = label_of(wire, emphasis)
            whole = width_of(" ".join(parts))
            # A wire that ends at a ground or a feed has the symbol below or above it, so its label stays in one line.
            last = len(run.chain.wires) - 1
            to_mark = (section == 0 and run.ends[0].way == "t") or (section == last and run.ends[1].way == "t")
            broken = split and not to_mark
            widths[number, section] = max(width_of(part) for part in parts) if broken else whole
    return LabelWidths(widths)


def _links(board: Board, labels: LabelWidths) -> dict[tuple[str, str], float]:
    """Splices joined by a wire within one channel: how far apart they must be for its label."""
    links = {}
    for span in board.spans:
        for strand in span.strands:
            if strand.left_splice and strand.right_splice:
                links[strand.left_splice, strand.right_splice] = labels[strand.run, 0] + 4.0
    return links
