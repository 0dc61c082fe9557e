"""The inside of a part: its devices placed between the lines that come in from its pins.

Everything is planned in depth: how far a device lies behind the edge where the pins are. Heights come later, when the
rows of the whole picture are known; until then a plan says only how much room it needs above, below and between rows.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from authorkit.drawing.ink import LINK_DASH, Heights, Ink, width_of
from authorkit.drawing.item import Item
from authorkit.drawing.items import items_of
from authorkit.drawing.netlist import Netlist, Unit
from authorkit.drawing.series import is_two_terminal
from authorkit.drawing.shapes import Path
from authorkit.drawing.symbols import CAP
from authorkit.model.point import Point

_GAP = 1.4  # between devices at one row
_LEAST_DEPTH = 13.0


@dataclass(frozen=True)
class Inside:
    """A planned part: its depth, the room its rows need, and how to paint it."""

    depth: float
    above: Mapping[Point, float]
    below: Mapping[Point, float]
    between: tuple[tuple[Point, Point, float], ...]
    placed: tuple[tuple[Item, float], ...]
    names: Mapping[Point, str]
    order: tuple[Point, ...]
    pins: frozenset[Point]

    def paint(self, ink: Ink, height: Heights) -> None:
        """Draw all that lies inside."""
        taps: dict[Point, list[float]] = defaultdict(list)
        for item, start in self.placed:
            if len(item.devices) > 1 and all(map(is_two_terminal, item.devices)):
                item.paint(ink, start, height)  # in series: each is told apart where its symbol is painted
            else:
                with ink.drawing(*item.devices):
                    item.paint(ink, start, height)
            for row, depth in item.taps.items():
                taps[row].append(start + depth)
        for row in self.order:
            self._paint_row(ink, row, height(row), sorted(taps[row]))
        self._paint_links(ink, height)

    def _paint_links(self, ink: Ink, height: Heights) -> None:
        """Dashed from a coil to the contacts that it moves: those that do not name another coil."""
        spots = [(item.devices[0], item.spot(start, height)) for item, start in self.placed if item.spot]
        coil = next((spot for device, spot in spots if device.kind == "coil"), None)
        for device, (depth, y) in spots:
            if coil is None or device.kind not in ("contact", "contactor") or device.values.get("works-by"):
                continue
            down = 1.0 if y > coil[1] else -1.0
            foot = depth + ink.way * 1.2  # the arm leans to the right on both sides of the page
            points = [(foot, coil[1] + down * 1.8), (foot, y)]
            if abs(foot - coil[0]) > 2.7:
                side = 2.9 if foot > coil[0] else -2.9
                points = [(coil[0] + side, coil[1]), (foot, coil[1]), (foot, y)]
            ink.add([Path(tuple(ink.at(*point) for point in points), "link", dash=LINK_DASH)])

    def _paint_row(self, ink: Ink, row: Point, y: float, taps: list[float]) -> None:
        name = self.names.get(row, "")
        if name:
            ink.words(name, 1.3, y - 0.9 if taps else y + CAP / 2)
        if not taps:
            return
        first = 0.0 if row in self.pins else taps[0]
        if taps[-1] > first:
            ink.line((first, y), (taps[-1], y))
        for depth in taps[:-1] if row in self.pins else taps[1:-1]:
            ink.dot(depth, y)


def plan_inside(unit: Unit, order: tuple[Point, ...], netlist: Netlist) -> Inside:
    """Place every device of a part whose pins all lie on one face, rows in the order given from top to bottom."""
    pins = {pin.point: pin.signal for pin in unit.pins}
    items = _hung(items_of(unit, order, netlist))
    placed, depth = _placed(items, order, max((width_of(name) for name in pins.values()), default=0.0) + 2.4)
    above: dict[Point, float] = defaultdict(float)
    below: dict[Point, float] = defaultdict(float)
    between = []
    for item in items:
        indexes = sorted(order.index(row) for row in item.rows)
        first, last = order[indexes[0]], order[indexes[-1]]
        above[first] = max(above[first], item.above)
        below[last] = max(below[last], item.below)
        if item.between and last != first:
            between.append((order[indexes[-1] - 1], last, item.between))
    return Inside(depth, dict(above), dict(below), tuple(between), tuple(placed), pins, order, frozenset(pins))


def _placed(items: list[Item], order: tuple[Point, ...], names: float) -> tuple[list[tuple[Item, float]], float]:
    """Pack the items: each as near to the pins as the rows that it spans allow."""
    crowded = {row for item in items if item.category == 2 for row in item.rows}

    def rank(item: Item) -> tuple[int, int, int]:
        indexes = [order.index(row) for row in item.rows]
        late = item.category == 1 and item.rows[0] in crowded
        return (3 if late else item.category, max(indexes) - min(indexes), min(indexes))

    reach = dict.fromkeys(order, names)
    placed = []
    for item in sorted(items, key=rank):
        indexes = [order.index(row) for row in item.rows]
        spanned = order[min(indexes) : max(indexes) + 1]
        start = max(reach[row] for row in spanned)
        placed.append((item, start))
        for row in spanned:
            reach[row] = start + item.width + _GAP
    depth = max((start + item.width for item, start in placed), default=names - 2.4)
    return placed, max(depth + 2.0, _LEAST_DEPTH)


def _hung(items: list[Item]) -> list[Item]:
    """At most one item can lie at the end of a row; the others hang from it."""
    ends: dict[Point, list[Item]] = defaultdict(list)
    for item in items:
        if item.category == 1:
            ends[item.rows[0]].append(item)
    result = []
    for item in items:
        rivals = ends.get(item.rows[0], [])
        if item.category == 1 and len(rivals) > 1 and item is not rivals[-1]:
            item = _as_hanging(item)
        result.append(item)
    return result


def _as_hanging(item: Item) -> Item:
    """The same item reached by a stub downwards, so that the row can run on above it."""
    row, drop = item.rows[0], item.above + 1.8

    def paint(ink: Ink, start: float, height: Heights) -> None:
        y = height(row)
        ink.line((start, y), (start, y + drop))
        item.paint(ink, start, lambda _: y + drop)
        tap = item.taps[row]
        if tap:
            ink.line((start, y + drop), (start + tap, y + drop))

    return Item(item.rows, item.width, {row: 0.0}, paint, 0.0, drop + item.below, 0.0, 0, item.devices)
