"""From places to shapes: parts, connectors, wires, splices, marks, and every text."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from authorkit.drawing.bundle import pair_marks, shield_marks, widest
from authorkit.drawing.font import printable
from authorkit.drawing.frame import Edges
from authorkit.drawing.heights import Heights, frame_above, frame_below
from authorkit.drawing.ink import Ink, width_of
from authorkit.drawing.inside import Inside
from authorkit.drawing.labels import Obstacles, Task, around, place_all, wire_places
from authorkit.drawing.mark_texts import mark_places
from authorkit.drawing.measures import CELL_HALF, NAME_ROOM, TITLE_GAP, TITLE_LINE
from authorkit.drawing.middle import Middle
from authorkit.drawing.netlist import CUT, Netlist, Unit
from authorkit.drawing.order import Order
from authorkit.drawing.route import Routes
from authorkit.drawing.route_marks import Cell, EndMark, SpliceMark
from authorkit.drawing.shapes import XY, Circle, Path, Shape, Words, rectangle
from authorkit.drawing.strands import Board, Key, Slot
from authorkit.drawing.symbols import CAP
from authorkit.model.point import Point
from authorkit.model.wire_colour import WireColour
from authorkit.model.wiring import Wire
from authorkit.units import show

DOT = 0.95
CHANGED_MARK = "▲ "


@dataclass(frozen=True)
class Emphasis:
    """Circuits drawn in a heavier line, names of circuits and parts that differ between series, and whether the colours
    of the wires are shown beside them."""

    highlight: frozenset[str] = frozenset()
    changed: frozenset[str] = frozenset()
    coloured: bool = False


@dataclass(frozen=True)
class Placed:
    """Everything that is known before painting."""

    netlist: Netlist
    board: Board
    order: Order
    heights: Heights
    edges: Edges
    routes: Routes
    insides: Mapping[str, Inside | Middle]
    titles: Mapping[str, tuple[str, ...]]


def paint(placed: Placed, emphasis: Emphasis) -> tuple[list[Shape], int]:
    """All shapes of the picture, and how many texts found no free place; the origin is wherever the layout put it."""
    return _Painter(placed, emphasis).shapes()


def coloured(points: tuple[XY, ...], colour: WireColour) -> Iterator[Path]:
    """The colours of a wire beneath it: its base along both sides, its stripes in dashes, and a white gap."""
    yield Path(points, "wire-colour", colour=colour.base.rgb)
    stripes = colour.colours[1:]
    dashes = ("4,4",) if len(stripes) == 1 else ("3,9", "0,6,3,3")  # of two stripes each has its turn
    for stripe, dash in zip(stripes, dashes, strict=False):
        yield Path(points, "wire-stripe", dash=dash, colour=stripe.rgb)
    yield Path(points, "wire-gap", colour="#FFFFFF")


def label_of(wire: Wire, emphasis: Emphasis) -> tuple[str, str]:
    """The label of a wire in two parts: its circuit, and its colour with its size."""
    size = show(wire.size)
    if wire.size.unit == "mm²":
        size = size.removesuffix("mm²").strip("\u202f\u00a0 ")
    mark = CHANGED_MARK if wire.circuit in emphasis.changed else ""
    return printable(mark + wire.circuit), printable(f"{wire.colour} {size}")


class _Painter:
    def __init__(self, placed: Placed, emphasis: Emphasis) -> None:
        self.placed, self.emphasis = placed, emphasis
        self.board, self.edges, self.heights = placed.board, placed.edges, placed.heights
        self.fixed: list[Shape] = []
        self.tasks: list[Task] = []

    def shapes(self) -> tuple[list[Shape], int]:
        for column, blocks in enumerate(self.placed.order.columns):
            for block, slots in blocks:
                if block.unit is not None:
                    self._unit(column, block.unit, [self.board.slots[slot] for slot in slots])
        self._inline()
        for section in self.placed.routes.sections:
            strong = section.wire.circuit in self.emphasis.highlight
            if self.emphasis.coloured:
                self.fixed += coloured(section.points, section.wire.colour)
            role = "strong-wire" if strong else "wire"
            self.fixed.append(Path(section.points, role, node=section.wire.circuit))
        self._bundles()
        for splice in self.placed.routes.splices:
            self._splice(splice)
        for mark in self.placed.routes.marks:
            self._mark(mark)
        self._wire_labels()
        obstacles = Obstacles()
        obstacles.add(self.fixed)
        words, crowded = place_all(self.tasks, obstacles)
        return [*self.fixed, *words], crowded

    # ----------------------------------------------------------------------------------------------------- parts

    def _unit(self, column: int, unit: Unit, slots: list[Slot]) -> None:
        if not slots:
            return
        inside = self.placed.insides[unit.id]
        place = self.board.block_columns[column]
        ys = [self.heights.slots[slot.number] for slot in slots]
        at = {point: y for slot, y in reversed(list(zip(slots, ys, strict=True))) for point in slot.points}
        above = max((inside.above.get(point, 0.0) for point in slots[0].points), default=0.0)
        below = max((inside.below.get(point, 0.0) for point in slots[-1].points), default=0.0)
        top, bottom = ys[0] - frame_above(above), ys[-1] + frame_below(below)
        left, right, ink, inside = self._sides(place, inside)
        self.fixed.append(rectangle((left, top), (right, bottom), "frame", node=unit.id))
        if unit.id in self.emphasis.changed:
            self.fixed.append(rectangle((left - 0.9, top - 0.9), (right + 0.9, bottom + 0.9), "changed"))
        inside.paint(ink, lambda point: at[point])
        self.fixed += ink.shapes
        self._title(unit, left, top, place)
        width = self.edges.strips[place]
        self._strips([(slot.left, y) for slot, y in zip(slots, ys, strict=True)], left - width, "left")
        self._strips([(slot.right, y) for slot, y in zip(slots, ys, strict=True)], right, "right")

    def _sides(self, place: int, inside: Inside | Middle) -> tuple[float, float, Ink, Inside | Middle]:
        """The frame's left and right edges, and ink that starts at the pins."""
        width = self.edges.strips[place]
        if place == 0:
            edge = self.edges.starts[0] - width
            return edge - inside.depth, edge, Ink(edge, -1), inside
        if place == self.board.columns.last:
            edge = self.edges.ends[place - 1] + width
            return edge, edge + inside.depth, Ink(edge, 1), inside
        left, right = self.edges.ends[place - 1] + width, self.edges.starts[place] - width
        assert isinstance(inside, Middle)
        return left, right, Ink(left, 1), inside.widened(right - left)

    def _title(self, unit: Unit, left: float, top: float, place: int) -> None:
        """The part's name above its frame, its reference letters in bold."""
        lines = self.placed.titles[unit.id]
        mark = CHANGED_MARK if unit.id in self.emphasis.changed else ""
        head = mark + printable(unit.id)
        indent = width_of(head + " ", bold=True)
        widest = max(width_of(text) + (0.0 if number else indent) for number, text in enumerate(lines))
        # A long heading may stand out over the outer edge of the picture, never over the wires.
        x = min(left, self.edges.starts[0] - widest) if place == 0 else left - self.edges.strips[place]
        for number, text in enumerate(lines):
            y = top - TITLE_GAP - (len(lines) - 1 - number) * TITLE_LINE
            if number:
                self.fixed.append(Words(text, x, y))
                continue
            self.fixed.append(Words(head, x, y, bold=True, node=unit.id))
            if text:
                self.fixed.append(Words(text, x + indent, y))

    def _strips(self, rows: list[tuple[Key | None, float]], x: float, face: str) -> None:
        """The cells of a part's connectors on one face, with the connector's name at each piece."""
        width = self._strip_width(x, face)
        piece: list[tuple[Key, float]] = []
        for key, y in [*rows, (None, math.inf)]:
            if piece and (key is None or key[0].owner != piece[-1][0][0].owner):
                self._piece(piece, (x, width), face)
                piece = []
            if key is not None:
                piece.append((key, y))

    def _strip_width(self, x: float, face: str) -> float:
        for column, width in self.edges.strips.items():
            edge = self.edges.ends.get(column - 1) if face == "left" else self.edges.starts.get(column)
            if edge is not None and abs((x if face == "left" else x + width) - edge) < 1e-6:
                return width
        return next(iter(self.edges.strips.values()))

    def _piece(self, piece: list[tuple[Key, float]], place: tuple[float, float], face: str) -> None:
        x, width = place
        name = piece[0][0][0].owner
        top, bottom = piece[0][1] - CELL_HALF, piece[-1][1] + CELL_HALF
        self.fixed.append(rectangle((x, top), (x + width, bottom), "strip", node=name))
        # A cavity with several wires has its number at each of them.
        self.fixed += [_number(point, x + width / 2, y) for (point, _), y in piece]
        # The name starts at the part's frame and runs towards the wires.
        y = bottom + NAME_ROOM - 1.2
        edge = x + 0.7 if face == "right" else x + width - 0.7
        outer = Words(printable(name), edge, y, "start" if face == "right" else "end")
        self.fixed.append(outer)

    # --------------------------------------------------------------------------------------------------- in-line

    def _inline(self) -> None:
        columns: dict[int, list[Cell]] = defaultdict(list)
        for cell in self.placed.routes.cells:
            columns[cell.column].append(cell)
        for _, cells in sorted(columns.items()):
            cells.sort(key=lambda cell: cell.y)
            pieces: list[list[Cell]] = []
            for cell in cells:
                if pieces and self._continues(pieces[-1][-1], cell):
                    pieces[-1].append(cell)
                else:
                    pieces.append([cell])
            for piece in pieces:
                self._inline_piece(piece)
            for upper, lower in itertools.pairwise(pieces):
                if upper[-1].cavity.owner == lower[0].cavity.owner:
                    x = (upper[0].left + upper[0].right) / 2
                    start, end = (x, upper[-1].y + CELL_HALF + 0.6), (x, lower[0].y - CELL_HALF - NAME_ROOM)
                    if end[1] > start[1] and not self._is_blocked(x, start[1], end[1]):
                        self.fixed.append(Path((start, end), "join", dash="0.8,2.2"))

    def _is_blocked(self, x: float, top: float, bottom: float) -> bool:
        """Whether a part stands between two pieces of a connector."""
        for shape in self.fixed:
            if isinstance(shape, Path) and shape.role == "frame":
                (left, high), (right, low) = shape.points[0], shape.points[2]
                if left < x < right and high < bottom and low > top:
                    return True
        return False

    def _continues(self, upper: Cell, lower: Cell) -> bool:
        """Whether two cells belong to one piece: same connector, nothing passes between them."""
        if upper.cavity.owner != lower.cavity.owner:
            return False
        x = (upper.left + upper.right) / 2
        if self._is_blocked(x, upper.y, lower.y):
            return False
        for section in self.placed.routes.sections:
            for (x1, y1), (x2, y2) in zip(section.points, section.points[1:], strict=False):
                if y1 == y2 and min(x1, x2) < x < max(x1, x2) and upper.y < y1 < lower.y:
                    return False
        return True

    def _inline_piece(self, piece: list[Cell]) -> None:
        first, name = piece[0], piece[0].cavity.owner
        top, bottom = first.y - CELL_HALF, piece[-1].y + CELL_HALF
        middle = (first.left + first.right) / 2
        self.fixed.append(rectangle((first.left, top), (middle, bottom), "strip", node=name))
        self.fixed.append(rectangle((middle, top), (first.right, bottom), "strip", node=name))
        for cell in piece:
            for x in ((first.left + middle) / 2, (middle + first.right) / 2):
                self.fixed.append(_number(cell.cavity, x, cell.y))
        self.fixed.append(Words(printable(name), middle, top - 1.0, "middle", bold=True, node=name))

    # ------------------------------------------------------------------------------------------ splices and marks

    def _splice(self, splice: SpliceMark) -> None:
        if splice.bar:
            low, high = splice.bar
            self.fixed.append(Path(((splice.x, low - 0.8), (splice.x, high + 0.8)), "bar", node=splice.name))
        for y in splice.dots:
            self.fixed.append(Circle((splice.x, y), DOT, "dot", fill="black", node=splice.name))
        mark = CHANGED_MARK if splice.name in self.emphasis.changed else ""
        text = mark + printable(splice.name)
        places = [place for y in splice.dots for place in around(text, (splice.x, y), (1.5, 1.1))]
        self.tasks.append(Task(tuple(places), -1.0))

    def _mark(self, mark: EndMark) -> None:
        """A ground symbol, or the arrow of a feed, wide enough for all wires that end there."""
        left, right = mark.xs[0], mark.xs[-1]
        middle = (left + right) / 2
        if mark.kind == "sheet":
            self._cut_mark(mark)
            return
        if mark.kind == "ground":
            for number, half in enumerate((2.2, 1.4, 0.6)):
                spread = (right - left) / 2 * (1 - number / 2.5) + half
                y = mark.y + number * 0.85
                self.fixed.append(Path(((middle - spread, y), (middle + spread, y)), "mark", node=mark.name))
            texts = (mark.name, self.placed.netlist.location(mark.name))
            y, beyond = mark.y + CAP / 2 + 0.6, 4.4
        else:
            self.fixed.append(Path(((left - 1.6, mark.y), (right + 1.6, mark.y)), "mark", node=mark.name))
            texts = (mark.name, self._feed_name(mark.name))
            y, beyond = mark.y + CAP / 2, -3.0
        places = list(mark_places(texts, (left - 3.1, right + 3.1), y, beyond))
        self.tasks.append(Task(tuple(places), -0.5))

    def _cut_mark(self, mark: EndMark) -> None:
        """Where a wire goes on on another sheet: an arrow head with the letter, and the number of that sheet."""
        letter, _, sheet = mark.name.removeprefix(CUT).partition(" ")
        x, y = mark.xs[0], mark.y
        way = 1.0 if self._comes_from_left(x, y) else -1.0
        corners = ((x, y - 1.7), (x + way * 2.9, y), (x, y + 1.7))
        self.fixed.append(Path(corners, "mark", closed=True, node=mark.name))
        text = f"{letter} ({sheet})"
        beside = Words(text, x + way * 3.6, y + CAP / 2, "start" if way > 0 else "end", bold=True)
        above = Words(text, x + way * 1.5, y - 2.4, "middle", bold=True)
        below = Words(text, x + way * 1.5, y + 2.6 + CAP, "middle", bold=True)
        self.tasks.append(Task(((beside,), (above,), (below,)), -2.0))

    def _comes_from_left(self, x: float, y: float) -> bool:
        """Whether the wire that ends here runs towards the right."""
        for section in self.placed.routes.sections:
            for end, before in ((section.points[0], section.points[1]), (section.points[-1], section.points[-2])):
                if abs(end[0] - x) < 1e-6 and abs(end[1] - y) < 1e-6:
                    return before[0] < x
        return True

    def _feed_name(self, name: str) -> str:
        return next((feed.name for feed in self.placed.netlist.wiring.feeds if feed.id == name), "")

    # ------------------------------------------------------------------------------------------------------ wires

    def _wire_labels(self) -> None:
        for section in self.placed.routes.sections:
            parts = label_of(section.wire, self.emphasis)
            text = " ".join(parts)
            room = sum(abs(a[0] - b[0]) for a, b in zip(section.points, section.points[1:], strict=False))
            places = tuple(wire_places(section.points, text, parts))
            self.tasks.append(Task(places, room - width_of(text)))

    def _bundles(self) -> None:
        """What shows that wires belong together: marks of twisted pairs, boxes of shields."""
        sections = self.placed.routes.sections
        for pair in self.placed.netlist.wiring.pairs:
            self.fixed += pair_marks(pair, sections, self.fixed)
        for shield in self.placed.netlist.wiring.shields:
            labels = [" ".join(label_of(section.wire, self.emphasis)) for section in sections]
            own = [text for text, each in zip(labels, sections, strict=True) if each.wire.circuit in shield.circuits]
            self.fixed += shield_marks(shield, sections, self.fixed, widest(own))


def _number(point: Point, x: float, y: float) -> Words:
    return Words(printable(point.cavity), x, y + CAP / 2, "middle", node=str(point))
