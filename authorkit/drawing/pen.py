"""From shapes to SVG: the only module that touches the drawing library.

The library is used as a pen. Every coordinate is given to it in millimetres; it lays nothing out. What it is kept from:
choosing matplotlib as its canvas, reading '$' as mathematics, choking on '&', turning an element by the one before it,
and cutting off letters at the rim (all seen in its version 0.23).
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any
from xml.etree import ElementTree

from authorkit.drawing.font import FAMILY, MM_PER_POINT, printable
from authorkit.drawing.shapes import ROLES, Arc, Circle, Library, Path, Scene, Shape, Words

# The library imports matplotlib at once if it finds it, which costs half a second and makes it the default canvas.
# A module that is None is one that cannot be imported.
_MATPLOTLIB_CANVAS = "schemdraw.backends.mpl"
_blocked = _MATPLOTLIB_CANVAS not in sys.modules
if _blocked:
    sys.modules[_MATPLOTLIB_CANVAS] = None  # type: ignore[assignment]
import schemdraw  # noqa: E402
from schemdraw import elements  # noqa: E402
from schemdraw.segments import Segment, SegmentArc, SegmentCircle, SegmentPoly, SegmentText, SegmentType  # noqa: E402
from schemdraw.types import BBox  # noqa: E402

if _blocked:
    del sys.modules[_MATPLOTLIB_CANVAS]

_SVG = "{http://www.w3.org/2000/svg}"
_LAYERS = (*ROLES, "words")
_BLACK = "black"
# Roles whose lines end where they end, without a round cap beyond.
_BUTT = ("bar", "strong-wire", "wire-colour", "wire-stripe", "wire-gap")

# Characters that the library would interpret travel as private ones and come back after drawing.
_OUTBOUND = {"&": "\ue000", "<": "\ue001", ">": "\ue002", "$": "\ue003", "\\": "\ue004", "^": "\ue005", "_": "\ue006"}
_ESCAPE = str.maketrans(_OUTBOUND)
_RESTORE = str.maketrans({private: plain for plain, private in _OUTBOUND.items()})

# Symbols that come from the library, by the name used in layouts.
_SYMBOLS: dict[str, Callable[[], elements.Element2Term]] = {
    "resistor": elements.ResistorIEC,
    "fuse": elements.FuseIEEE,  # the general fuse of IEC 60617: the line runs straight through the box
    "diode": elements.Diode,
    "led": elements.LED,
    "lamp": elements.Lamp2,  # circle with a cross
    "switch": lambda: elements.Switch(contacts=False),
    "closed-switch": lambda: elements.Switch(contacts=False, nc=True),
    "cell": elements.BatteryCell,
    "battery": elements.Battery,
}


class _Sheet(schemdraw.Drawing):
    """A drawing whose frame is given instead of guessed from rough text widths."""

    frame: BBox

    def get_bbox(self) -> BBox:
        return self.frame


class _Strokes(elements.Element):  # type: ignore[no-untyped-call]  # its subclass hook has no types
    """All shapes of one role as one element."""

    def __init__(self, segments: list[SegmentType]) -> None:
        super().__init__()
        self.segments.extend(segments)


def render(scene: Scene) -> bytes:
    """The scene as SVG: text as text, sizes in millimetres, the same bytes each time.

    Each element carries its role as its class and, if it belongs to a point of the circuit, that as `data-node`.
    """
    schemdraw.svgconfig.text = "text"
    sheet = _Sheet(canvas="svg", show=False, inches_per_unit=1 / 25.4, margin=-2 / 72, lw=ROLES["symbol"])
    sheet.frame = BBox(0.0, -scene.height, scene.width, 0.0)
    shapes_drawn = [shape for shape in scene.shapes if not (isinstance(shape, Words) and not printable(shape.text))]
    layers = {role: [shape for shape in shapes_drawn if shape.role == role] for role in _LAYERS}
    for layer, (role, shapes) in enumerate(layers.items()):
        for element in _elements(role, shapes, layer, scene.size):
            sheet.add(element)
    root = sheet.draw(show=False).getsvg()
    drawn = [element for element in root if element.tag.rpartition("}")[2] != "defs"]
    _mark(drawn, layers)
    return _finish(root, scene)


def _elements(role: str, shapes: list[Shape], layer: int, size: float) -> Iterator[elements.Element]:
    if role == "library":
        for shape in shapes:
            assert isinstance(shape, Library)
            symbol = _SYMBOLS[shape.name]().endpoints(_up(shape.start), _up(shape.end)).scale(shape.scale)
            yield symbol.zorder(layer).style(lw=ROLES["library"])
    elif shapes:
        segments = [_segment(shape, role, layer, size) for shape in shapes]
        # Without a place and an angle of its own it would be turned like the element before it.
        yield _Strokes(segments).at((0, 0)).theta(0).zorder(layer)


def _up(point: tuple[float, float]) -> tuple[float, float]:
    """The library's y axis points up."""
    return point[0], -point[1]


def _segment(shape: Shape, role: str, layer: int, size: float) -> SegmentType:
    if isinstance(shape, Words):
        return _text(shape, layer, size)
    weight = ROLES[role]
    if isinstance(shape, Circle):
        return SegmentCircle(
            _up(shape.centre), shape.radius, lw=weight, zorder=layer, fill=shape.fill or None, color=_BLACK
        )
    if isinstance(shape, Arc):
        low, high = shape.angles
        return SegmentArc(
            _up(shape.centre), shape.width, shape.height, theta1=low, theta2=high, lw=weight, zorder=layer, color=_BLACK
        )
    assert isinstance(shape, Path)
    points = [_up(point) for point in shape.points]
    dash: Any = shape.dash or None  # the library passes any SVG dash pattern through, though its types name only four
    if shape.closed:
        fill = shape.fill or None
        return SegmentPoly(points, fill=fill, lw=weight, ls=dash, zorder=layer, color=_BLACK, joinstyle="miter")
    cap: Any = "butt" if role in _BUTT else "round"
    colour = shape.colour or _BLACK
    return Segment(points, lw=weight, ls=dash, zorder=layer, color=colour, joinstyle="miter", capstyle=cap)


def _text(words: Words, layer: int, size: float) -> SegmentText:
    align: Any = {"start": "left", "middle": "center", "end": "right"}[words.anchor]
    text = printable(words.text).translate(_ESCAPE)
    return SegmentText(
        _up((words.x, words.y)), text, align=(align, "base"), fontsize=size, font=FAMILY, zorder=layer, color=_BLACK
    )


def _mark(drawn: list[ElementTree.Element], layers: dict[str, list[Shape]]) -> None:
    """Say at each SVG element what it is. The library sorts by layer and keeps the order within one."""
    position = 0
    for role, shapes in layers.items():
        if role == "library":
            for shape in shapes:
                assert isinstance(shape, Library)
                for element in drawn[position : position + _strokes(shape.name)]:
                    _set(element, shape)
                position += _strokes(shape.name)
            continue
        for shape in shapes:
            element = drawn[position]
            _set(element, shape)
            if isinstance(shape, Words):
                _plain_text(element, shape)
            position += 1


def _set(element: ElementTree.Element, shape: Shape) -> None:
    element.set("class", shape.role)
    if shape.node:
        element.set("data-node", shape.node)


@cache
def _strokes(name: str) -> int:
    """How many SVG elements a symbol of the library consists of."""
    sheet = schemdraw.Drawing(canvas="svg", show=False)
    sheet.add(_SYMBOLS[name]())
    return sum(element.tag.rpartition("}")[2] != "defs" for element in sheet.draw(show=False).getsvg())


def _plain_text(element: ElementTree.Element, words: Words) -> None:
    """One line of text without the library's inner spans, its own characters restored."""
    span = element[0]
    text = "".join(element.itertext()).translate(_RESTORE)
    y = float(element.get("y", "0")) + float(span.get("dy", "0"))
    element.remove(span)
    element.text = text
    element.set("y", f"{y:.3f}")
    element.set("x", f"{float(element.get('x', '0')):.3f}")
    if words.bold:
        element.set("font-weight", "bold")


_NUMBER = re.compile(r"-?\d+\.\d+")


def _finish(root: ElementTree.Element, scene: Scene) -> bytes:
    """The true size in millimetres, numbers of a sensible length, nothing else touched."""
    width, height = scene.width / MM_PER_POINT, scene.height / MM_PER_POINT
    root.set("width", f"{scene.width:.2f}mm")
    root.set("height", f"{scene.height:.2f}mm")
    root.set("viewBox", f"0 0 {width:.2f} {height:.2f}")
    root.attrib.pop("xmlns:xlink", None)
    for element in root.iter():
        if "d" in element.attrib:
            element.set("d", _NUMBER.sub(_short, element.attrib["d"]))
        if "style" in element.attrib:  # the library writes '-' for an unbroken line, which is no dash pattern
            element.set("style", element.attrib["style"].replace("stroke-dasharray:-;", ""))
    return bytes(ElementTree.tostring(root, encoding="utf-8"))


def _short(match: re.Match[str]) -> str:
    return f"{float(match.group()):.3f}".rstrip("0").rstrip(".")
