"""The devices inside a part as items: what room each takes, which rows it touches, how it is drawn.

An item is planned before the heights of rows are known; it is painted when they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from authorkit.drawing.ink import LINE, Heights, Ink, width_of
from authorkit.drawing.netlist import Netlist, Unit
from authorkit.drawing.series import Series, is_two_terminal, series_of
from authorkit.drawing.shapes import XY, Circle, Library, Path, Shape
from authorkit.drawing.symbols import BODY, CAP, SYMBOLS, Frame, arrow_to, earth, lines_of, transistor
from authorkit.model.point import Point
from authorkit.model.wiring import Device
from authorkit.units import show

LEAD = 1.2  # the least length of line on either side of a symbol
_EARTH = 2.6  # height of the ground symbol
_BLOCK_HALF = 2.5
_TALLEST_BLOCK = 24.0  # a block between rows further apart is drawn in the middle, reached by upright lines


@dataclass(frozen=True)
class Item:
    """One device, or several in series, with the rows it touches and the room it needs.

    `taps` says how far behind the item's own start each row must reach. `paint` gets the ink, the depth of the start and
    the heights of rows.
    """

    rows: tuple[Point, ...]
    width: float
    taps: Mapping[Point, float]
    paint: Callable[[Ink, float, Heights], None]
    above: float = 0.0
    below: float = 0.0
    between: float = 0.0
    category: int = 2
    devices: tuple[Device, ...] = ()


def items_of(unit: Unit, order: tuple[Point, ...], netlist: Netlist) -> list[Item]:
    """An item for each device, or series of devices, of a part with its rows in this order."""
    rows = set(order)
    items = [_series_item(path, rows, order, netlist) for path in series_of(unit, order, netlist)]
    for device in unit.devices:
        if not is_two_terminal(device) and device.kind in SYMBOLS:
            items.append(_device_item(device, rows, order, netlist))
    return items


def _device_item(device: Device, rows: set[Point], order: tuple[Point, ...], netlist: Netlist) -> Item:
    form = SYMBOLS[device.kind].form
    touched = tuple(dict.fromkeys(terminal for terminal in device.terminals if terminal in rows))
    if form == "ground":
        return _ground_item(device, touched, rows, order)
    if form in ("up", "down"):
        return _hanging_item(device, touched[0], rows, order, netlist)
    if form == "link":
        return _link_item((device,), touched)
    if form == "potentiometer" and len(touched) == 3:
        return _potentiometer_item(device, order)
    if form in ("selector", "contact") and len(touched) == len(device.terminals):
        return _selector_item(device, touched)
    if device.kind == "motor-3" and len(touched) == 3:
        return _three_phase_item(device, touched, order)
    if device.kind == "isolation":
        return _end_item(Series((device,), (False,), (touched[0], Point("chassis"))), touched[0], "ground", "")
    return _block_item(device, touched, order, netlist)


def _series_item(path: Series, rows: set[Point], order: tuple[Point, ...], netlist: Netlist) -> Item:
    first, second = path.ends
    if first in rows and second in rows and first != second:
        upper = path if order.index(first) < order.index(second) else path.reversed()
        return _stack_item(upper, order)
    if first not in rows:
        path = path.reversed()
        first, second = path.ends
    kind = "ground" if netlist.kinds.get(second) == "ground" else "feed"
    return _end_item(path, first, kind, str(second))


def _painted(device: Device, turned: bool, start: XY, end: XY) -> Iterable[Shape]:
    """The symbol of a two-terminal device from one point to the other."""
    draw = SYMBOLS[device.kind].draw
    if draw is not None:
        yield from draw(Frame(end, start) if turned else Frame(start, end), device)


def _stack_item(path: Series, order: tuple[Point, ...]) -> Item:
    """Devices in series, standing between two rows."""
    symbols = [SYMBOLS[device.kind] for device in path.devices]
    half = max(symbol.half for symbol in symbols)
    clamp = 6.4 if any(device.values.get("clamp") in ("diode", "resistor") for device in path.devices) else 0.0
    texts = [lines_of(device) for device in path.devices]
    label = max((width_of(text) for each in texts for text in each), default=0.0)
    needed = sum(
        max(symbol.body + 2 * LEAD, len(each) * LINE + 1.0) for symbol, each in zip(symbols, texts, strict=True)
    )
    upper, lower = path.ends

    def paint(ink: Ink, start: float, height: Heights) -> None:
        axis = start + half
        middle = order[order.index(lower) - 1]
        top, bottom = height(middle), height(lower)
        if middle != upper:
            ink.line((axis, height(upper)), (axis, top))
        step = (bottom - top) / len(path.devices)
        for number, device in enumerate(path.devices):
            y = top + number * step
            # A coil's clamp is drawn at its left hand: towards the inside of the part on both sides of the page.
            a, b = ink.at(axis, y), ink.at(axis, y + step)
            if clamp and ink.way > 0:
                ink.add(_painted(device, not path.turned[number], b, a))
            else:
                ink.add(_painted(device, path.turned[number], a, b))
            baseline = y + step / 2 + CAP / 2 - (len(texts[number]) - 1) * LINE / 2
            for row, text in enumerate(texts[number]):
                ink.words(text, axis + symbols[number].half + 0.8 + clamp, baseline + row * LINE)

    width = 2 * half + clamp + (0.8 + label if label else 0.0)
    return Item((upper, lower), width, {upper: half, lower: half}, paint, between=needed, devices=path.devices)


def _end_item(path: Series, row: Point, kind: str, name: str) -> Item:
    """Devices in series along a row, with the feed or the ground at their end."""
    texts = [" ".join(lines_of(device)) for device in path.devices]
    symbols = [SYMBOLS[device.kind] for device in path.devices]
    lengths = [max(symbol.body + 2 * LEAD, width_of(text) + 1.0) for symbol, text in zip(symbols, texts, strict=True)]
    total = sum(lengths)
    mark = 2.2 + width_of(name) + (1.0 if name else 0.0) + (1.6 if kind == "ground" else 0.0)

    def paint(ink: Ink, start: float, height: Heights) -> None:
        y, depth = height(row), start
        for number, device in enumerate(path.devices):
            ink.add(_painted(device, path.turned[number], ink.at(depth, y), ink.at(depth + lengths[number], y)))
            ink.centred(texts[number], depth + lengths[number] / 2, y - symbols[number].half - 0.7)
            depth += lengths[number]
        if kind == "ground":
            ink.line((depth, y), (depth + 1.6, y))
            depth += 1.6
        _end_mark(ink, depth, y, (kind, name))

    above = max(symbol.half for symbol in symbols) + 0.7 + CAP
    below = max(2.0, 1.6 + _EARTH if kind == "ground" else 0.0)
    return Item((row,), total + mark, {row: 0.0}, paint, above, below, 0.0, 1, path.devices)


def _end_mark(ink: Ink, depth: float, y: float, what: tuple[str, str]) -> None:
    """A feed (a small circle with its name) or a ground at the end of an inner line."""
    kind, name = what
    if kind == "ground":
        ink.line((depth, y), (depth, y + 1.6))
        ink.add(earth(ink.at(depth, y + 1.6)))
        ink.words(name, depth + 2.6, y + 1.6 + CAP)
        return
    ink.add([Circle(ink.at(depth + 0.7, y), 0.7, "symbol")])
    ink.words(name, depth + 2.0, y + CAP / 2)


def _ground_item(device: Device, touched: tuple[Point, ...], rows: set[Point], order: tuple[Point, ...]) -> Item:
    through = device.values.get("through")
    row = touched[0]
    if isinstance(through, Point) and through in rows and through != row:
        return _link_item((device,), (row, through))
    name = str(through) if isinstance(through, Point) else ""

    def paint(ink: Ink, start: float, height: Heights) -> None:
        _end_mark(ink, start + 2.0, height(row), ("ground", name))
        ink.line((start, height(row)), (start + 2.0, height(row)))

    width = 4.2 + (0.6 + width_of(name) if name else 0.0)
    return Item((row,), width, {row: 0.0}, paint, 0.0, 1.6 + _EARTH, 0.0, 1, (device,))


def _link_item(devices: tuple[Device, ...], touched: tuple[Point, ...]) -> Item:
    """A plain inner line that joins rows."""

    def paint(ink: Ink, start: float, height: Heights) -> None:
        heights = sorted(height(row) for row in touched)
        ink.line((start, heights[0]), (start, heights[-1]))
        for y in heights[1:-1]:
            ink.dot(start, y)

    return Item(touched, 0.6, dict.fromkeys(touched, 0.0), paint, devices=devices)


def _hanging_item(device: Device, row: Point, rows: set[Point], order: tuple[Point, ...], netlist: Netlist) -> Item:
    """A pull-up, a pull-down, a driver: from the row to a supply above or a ground below."""
    to = device.values.get("to")
    if (
        device.kind == "pull-down"
        and isinstance(to, Point)
        and to in rows
        and abs(order.index(to) - order.index(row)) == 1
    ):
        path = Series((device,), (False,), (row, to))
        return _stack_item(path if order.index(row) < order.index(to) else path.reversed(), order)
    up = SYMBOLS[device.kind].form == "up"
    way = -1 if up else 1
    is_driver = device.kind in ("low-side", "high-side")
    reach = 7.0 if is_driver else BODY + 2 * LEAD
    half = 2.6 if is_driver else SYMBOLS[device.kind].half
    texts = lines_of(device)
    label = max((width_of(text) for text in texts), default=0.0)
    far = _rail(to) if up else (str(to) if isinstance(to, Point) else "")
    beside = 2.2 if is_driver else 0.0  # the driver's gate
    width = max(2 * half + beside + (0.8 + label if label else 0.0), half + width_of(far) / 2 if up else 0.0)
    before = max(half, width_of(far) / 2 if up else half)

    def paint(ink: Ink, start: float, height: Heights) -> None:
        axis, y = start + before, height(row)
        tip = y + way * reach
        if is_driver:
            ink.add(transistor(ink.at(axis, y), way, float(ink.way)))
        else:
            start_, end = ink.at(axis, y), ink.at(axis, tip)
            draw = SYMBOLS[device.kind].draw
            if draw is not None:
                ink.add(draw(Frame(start_, end), device))
        baseline = y + way * reach / 2 + CAP / 2 - (len(texts) - 1) * LINE / 2
        for number, text in enumerate(texts):
            ink.words(text, axis + half + beside + 0.8, baseline + number * LINE)
        _far_end(ink, (axis, tip), up, far)

    room = reach + (CAP + 1.4 if up else _EARTH)
    above, below = (room, 0.0) if up else (0.0, room + (LINE if far and not up else 0.0))
    return Item((row,), width + before - half, {row: before}, paint, above, below, 0.0, 0, (device,))


def _far_end(ink: Ink, at: XY, up: bool, name: str) -> None:
    """The supply above a pull-up or a driver, or the ground below one."""
    depth, y = at
    if up:
        ink.add([Path((ink.at(depth - 1.6, y), ink.at(depth + 1.6, y)), "symbol")])
        ink.centred(name, depth, y - 0.8)
    elif name:
        ink.centred(name, depth, y + CAP + 0.8)
    else:
        ink.add(earth(ink.at(depth, y)))


def _rail(to: object) -> str:
    """The name of a supply: a voltage, or the point that it comes from."""
    if isinstance(to, Point):
        return str(to)
    return show(to) if to is not None and not isinstance(to, (str, tuple)) else str(to or "+")


def _potentiometer_item(device: Device, order: tuple[Point, ...]) -> Item:
    """A track between two rows and its wiper, which comes from the pins if its row lies between, else from behind."""
    high, wiper, low = device.terminals
    texts = lines_of(device)
    label = max((width_of(text) for text in texts), default=0.0)
    top, bottom = sorted((high, low), key=order.index)
    is_between = order.index(top) < order.index(wiper) < order.index(bottom)
    lead = 3.4
    has_series = "series-r" in device.values
    front = (lead + (BODY + 2 * LEAD if has_series else 0.0)) if is_between else 0.0
    axis_at = front + 1.3
    behind = 0.0 if is_between else 3.6

    def paint(ink: Ink, start: float, height: Heights) -> None:
        axis = start + axis_at
        y = height(wiper) if is_between else (height(order[order.index(bottom) - 1]) + height(bottom)) / 2
        ink.line((axis, height(top)), (axis, y - 3.6))
        ink.line((axis, y + 3.6), (axis, height(bottom)))
        ink.add([Library("resistor", ink.at(axis, y - 3.6), ink.at(axis, y + 3.6), BODY)])
        if is_between:
            if has_series:
                ink.add([Library("resistor", ink.at(start, y), ink.at(start + BODY + 2 * LEAD, y), BODY)])
            ink.add(arrow_to(ink.at(axis - 1.3 - lead, y), ink.at(axis - 1.4, y)))
        else:
            ink.line((axis + 3.6, height(wiper)), (axis + 3.6, y))
            ink.add(arrow_to(ink.at(axis + 3.6, y), ink.at(axis + 1.4, y)))
        for number, text in enumerate(texts):
            ink.words(text, axis + 2.1 + behind, y + CAP / 2 + (number - (len(texts) - 1) / 2) * LINE)

    taps = {top: axis_at, bottom: axis_at, wiper: 0.0 if is_between else axis_at + 3.6}
    return Item((top, wiper, bottom), axis_at + 2.1 + behind + label, taps, paint, between=8.0, devices=(device,))


def _selector_item(device: Device, touched: tuple[Point, ...]) -> Item:
    """A switch with several positions: the arm at the common point, resting on the first or the closed one."""
    common, *others = device.terminals
    resting = others[-1] if device.kind == "contact" else others[0]
    texts = lines_of(device)

    def paint(ink: Ink, start: float, height: Heights) -> None:
        pivot = start + 8.0
        for other in others:
            ink.add([Circle(ink.at(start + 0.6, height(other)), 0.6, "symbol")])
        ink.line((pivot, height(common)), (start + 1.2, height(resting) + 0.2))
        for number, text in enumerate(texts):
            ink.words(text, pivot + 0.8, height(common) + CAP / 2 + number * LINE)

    width = 8.6 + max((width_of(text) for text in texts), default=0.0)
    taps = {**dict.fromkeys(others, 0.0), common: 8.0}
    return Item(touched, width, taps, paint, devices=(device,))


def _three_phase_item(device: Device, touched: tuple[Point, ...], order: tuple[Point, ...]) -> Item:
    radius = 5.2

    def paint(ink: Ink, start: float, height: Heights) -> None:
        top, middle, bottom = (height(row) for row in sorted(touched, key=order.index))
        centre = start + 4.0 + radius
        ink.add([Circle(ink.at(centre, middle), radius, "symbol")])
        ink.centred("M", centre, middle - 0.3)
        ink.centred("3~", centre, middle + LINE - 0.5)
        ink.line((start, middle), (centre - radius, middle))
        for y, way in ((top, -1), (bottom, 1)):
            ink.line((start, y), (centre - radius * 0.77, middle + way * radius * 0.64))

    between = 8.0
    return Item(touched, 4.0 + 2 * radius, dict.fromkeys(touched, 0.0), paint, between=between, devices=(device,))


def _block_item(device: Device, touched: tuple[Point, ...], order: tuple[Point, ...], netlist: Netlist) -> Item:
    """A box with a text; terminals that are feeds or grounds are marked at its back."""
    texts = lines_of(device)
    width = max(7.0, max((width_of(text) for text in texts), default=0.0) + 2.4)
    marks = [
        ("ground" if netlist.kinds.get(terminal) == "ground" else "feed", str(terminal))
        for terminal in device.terminals
        if terminal not in touched
    ]
    rows = tuple(sorted(touched, key=order.index))
    text_height = len(texts) * LINE + 1.0
    half = max(_BLOCK_HALF, text_height / 2, 2.1 * len(marks)) if len(rows) == 1 else _BLOCK_HALF
    lead = 1.4

    def paint(ink: Ink, start: float, height: Heights) -> None:
        top, bottom = height(rows[0]) - half, height(rows[-1]) + half
        if len(rows) == 2 and bottom - top > _TALLEST_BLOCK:
            middle = (top + bottom) / 2
            top, bottom = middle - _TALLEST_BLOCK / 3, middle + _TALLEST_BLOCK / 3
            for row, edge in zip(rows, (top, bottom), strict=True):
                ink.line((start + lead, height(row)), (start + lead + 2.0, height(row)), (start + lead + 2.0, edge))
        first, last = ink.at(start + lead, top), ink.at(start + lead + width, bottom)
        ink.add([Path((first, (last[0], first[1]), last, (first[0], last[1])), "symbol", closed=True)])
        baseline = (top + bottom) / 2 + CAP / 2 - (len(texts) - 1) * LINE / 2
        for number, text in enumerate(texts):
            ink.centred(text, start + lead + width / 2, baseline + number * LINE)
        for number, mark in enumerate(marks):
            y = top + (bottom - top) * (number + 1) / (len(marks) + 1)
            ink.line((start + lead + width, y), (start + lead + width + 3.0, y))
            _end_mark(ink, start + lead + width + 3.0, y, mark)

    back = max((6.0 + width_of(name) for _, name in marks), default=0.0)
    has_ground = any(kind == "ground" for kind, _ in marks)
    return Item(
        rows,
        lead + width + back,
        dict.fromkeys(rows, lead),
        paint,
        half + 0.6,
        half + 0.6 + (3.0 if has_ground and len(rows) == 1 else 0.0),
        max(0.0, text_height - 2 * half + (8.0 * len(marks) if len(marks) > 1 else 0.0)) if len(rows) == 2 else 0.0,
        1 if len(rows) == 1 else 2,
        (device,),
    )
