"""Devices with a shape of their own: potentiometer, switch with several positions, three-phase motor."""

from __future__ import annotations

from authorkit.drawing.ink import LINE, Heights, Ink, width_of
from authorkit.drawing.item import LEAD, Item
from authorkit.drawing.shapes import XY, Circle, Library
from authorkit.drawing.symbols import BODY, CAP, arrow_to, lines_of
from authorkit.model.point import Point
from authorkit.model.wiring import Device


def potentiometer_item(device: Device, order: tuple[Point, ...]) -> Item:
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


def selector_item(device: Device, touched: tuple[Point, ...]) -> Item:
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

    def spot(start: float, height: Heights) -> XY:
        return start + 4.5, (height(common) + height(resting)) / 2

    return Item(touched, width, taps, paint, devices=(device,), spot=spot)


def three_phase_item(device: Device, touched: tuple[Point, ...], order: tuple[Point, ...]) -> Item:
    """A motor with three leads."""
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
