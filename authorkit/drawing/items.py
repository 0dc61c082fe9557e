"""The devices inside a part as items: what room each takes, which rows it touches, how it is drawn.

An item is planned before the heights of rows are known; it is painted when they are.
"""

from __future__ import annotations

from collections.abc import Iterable

from authorkit.drawing.ink import LINE, Heights, Ink, of_devices, width_of
from authorkit.drawing.item import LEAD, Item
from authorkit.drawing.netlist import Netlist, Unit
from authorkit.drawing.series import Series, is_two_terminal, power_stages, series_of
from authorkit.drawing.shapes import XY, Circle, Path, Shape
from authorkit.drawing.special_items import potentiometer_item, selector_item, three_phase_item
from authorkit.drawing.symbols import BODY, CAP, SYMBOLS, Frame, earth, lines_of, transistor
from authorkit.model.point import Point
from authorkit.model.wiring import Device
from authorkit.units import Quantity, show

_EARTH = 2.6  # height of the ground symbol
_BLOCK_HALF = 2.5
_TALLEST_BLOCK = 24.0  # a block between rows further apart is drawn in the middle, reached by upright lines


def items_of(unit: Unit, order: tuple[Point, ...], netlist: Netlist) -> list[Item]:
    """An item for each device, or series of devices, of a part with its rows in this order."""
    rows = set(order)
    paths = [path for path in series_of(unit, order, netlist) if rows & set(path.ends)]
    items = [_series_item(path, rows, order, netlist) for path in paths]
    stages = power_stages(unit, rows)
    items += [_stage_item(stage, order) for stage in stages]
    in_stage = [device for stage in stages for device in stage]
    items += [
        _device_item(device, rows, order, netlist)
        for device in unit.devices
        if not is_two_terminal(device)
        and device not in in_stage
        and device.kind in SYMBOLS
        and rows & set(device.terminals)
    ]
    return items


def _stage_item(stage: tuple[Device, ...], order: tuple[Point, ...]) -> Item:
    """The phases of an inverter that share their supply: one box."""
    touched = tuple(dict.fromkeys(terminal for device in stage for terminal in device.terminals if terminal in order))
    commands = " ".join(str(device.values.get("command", "")) for device in stage).strip()
    return _block_item(stage, touched, order, (("inverter", commands), ()))


def _device_item(device: Device, rows: set[Point], order: tuple[Point, ...], netlist: Netlist) -> Item:
    form = SYMBOLS[device.kind].form
    touched = tuple(dict.fromkeys(terminal for terminal in device.terminals if terminal in rows))
    if form == "ground":
        return _ground_item(device, touched, rows, order)
    if form in ("up", "down"):
        return _hanging_item(device, touched[0], order)
    if form == "link":
        return _outward_link(device, touched, netlist)
    if form == "potentiometer" and len(touched) == 3:
        return potentiometer_item(device, order)
    if form in ("selector", "contact") and len(touched) == len(device.terminals):
        return selector_item(device, touched)
    if device.kind == "motor-3" and len(touched) == 3:
        return three_phase_item(device, touched, order)
    if device.kind == "isolation":
        return _end_item(Series((device,), (False,), (touched[0], Point("chassis"))), touched[0], "ground", "")
    marks = tuple(
        ("ground" if netlist.kinds.get(terminal) == "ground" else "feed", str(terminal))
        for terminal in device.terminals
        if terminal not in touched
    )
    return _block_item((device,), touched, order, (lines_of(device), marks))


def _outward_link(device: Device, touched: tuple[Point, ...], netlist: Netlist) -> Item:
    """An inner line between rows, or from one row to a feed or a ground that is named inside the part."""
    beyond = [terminal for terminal in device.terminals if terminal not in touched]
    if len(touched) > 1 or not beyond:
        return _link_item((device,), touched)
    path = Series((device,), (False,), (touched[0], beyond[0]))
    kind = "ground" if netlist.kinds.get(beyond[0]) == "ground" else "feed"
    return _end_item(path, touched[0], kind, str(beyond[0]))


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


def painted(device: Device, turned: bool, ends: tuple[XY, XY], *, side: float = -1.0) -> Iterable[Shape]:
    """The symbol of a two-terminal device between two points, from the second to the first if `turned`.

    `side` is where its lopsided parts go: 1 right (or above the line), −1 left (or below it) on the page.
    """
    draw = SYMBOLS[device.kind].draw
    if draw is not None:
        start, end = ends[::-1] if turned else ends
        yield from of_devices(draw(Frame(start, end, side if turned else -side), device), device)


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
            # What clamps a coil stands behind it, seen from the pins.
            ink.add(
                painted(device, path.turned[number], (ink.at(axis, y), ink.at(axis, y + step)), side=float(ink.way))
            )
            baseline = y + step / 2 + CAP / 2 - (len(texts[number]) - 1) * LINE / 2
            for row, text in enumerate(texts[number]):
                ink.words(text, axis + symbols[number].half + 0.8 + clamp, baseline + row * LINE)

    def spot(start: float, height: Heights) -> XY:
        top = height(order[order.index(lower) - 1])
        return start + half, top + (height(lower) - top) / len(path.devices) / 2

    width = 2 * half + clamp + (0.8 + label if label else 0.0)
    taps = {upper: half, lower: half}
    return Item((upper, lower), width, taps, paint, between=needed, devices=path.devices, spot=spot)


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
            ink.add(painted(device, path.turned[number], (ink.at(depth, y), ink.at(depth + lengths[number], y))))
            ink.centred(texts[number], depth + lengths[number] / 2, y - symbols[number].half - 0.7)
            depth += lengths[number]
        if kind == "ground":
            ink.line((depth, y), (depth + 1.6, y))
            depth += 1.6
        _end_mark(ink, depth, y, (kind, name))

    above = max(symbol.half for symbol in symbols) + 0.7 + CAP
    below = max(2.0, 1.6 + _EARTH if kind == "ground" else 0.0)

    def spot(start: float, height: Heights) -> XY:
        return start + lengths[0] / 2, height(row)

    return Item((row,), total + mark, {row: 0.0}, paint, above, below, 0.0, 1, path.devices, spot)


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


def _hanging_item(device: Device, row: Point, order: tuple[Point, ...]) -> Item:
    """A pull-up, a pull-down, a driver: from the row to a supply above or a ground below."""
    to = device.values.get("to")
    if (
        device.kind == "pull-down"
        and isinstance(to, Point)
        and to in order
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
    width = max(2 * half + beside + (0.8 + label if label else 0.0), half + width_of(far) / 2)
    before = max(half, width_of(far) / 2)

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
    return show(to) if isinstance(to, Quantity) else str(to or "+")


def _block_item(
    devices: tuple[Device, ...],
    touched: tuple[Point, ...],
    order: tuple[Point, ...],
    printed: tuple[tuple[str, ...], tuple[tuple[str, str], ...]],
) -> Item:
    """A box with a text; `printed` are its lines, and the feeds and grounds that are marked at its back."""
    texts, marks = tuple(filter(None, printed[0])), printed[1]
    width = max(7.0, max((width_of(text) for text in texts), default=0.0) + 2.4)
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
        devices,
    )
