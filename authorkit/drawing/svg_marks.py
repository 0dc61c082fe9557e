"""A finished circuit picture read back: texts, lines, dots and boxes as they stand in the SVG.

Nothing here knows how the picture was made. Roles and names come from the attributes that the pen writes; every
position comes from the drawn coordinates, in millimetres.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree

from authorkit.drawing.font import ASCENT, CAP_HEIGHT, DESCENT, MM_PER_POINT, text_width

XY = tuple[float, float]
Box = tuple[float, float, float, float]

_HANGING = frozenset("gjpqy,;()[]{}|_Q$/ç")
_TALL = frozenset("bdfhklijt()[]{}|/öäüÄÖÜ$")
_SHIFT = re.compile(r"translate\(\s*(-?[\d.]+)[ ,]*(-?[\d.]+)?\s*\)")
_TOKEN = re.compile(r"[A-Za-z]|-?\d*\.?\d+(?:e[-+]?\d+)?")


@dataclass(frozen=True)
class TextMark:
    """One text with the box of its ink, its size in points, and what it belongs to."""

    text: str
    box: Box
    size: float
    role: str
    node: str


@dataclass(frozen=True)
class LineMark:
    """One stroke: its points in order, closed or not. Curves are followed in short steps."""

    points: tuple[XY, ...]
    closed: bool
    role: str
    node: str
    weight: float

    @property
    def segments(self) -> Iterator[tuple[XY, XY]]:
        """Each straight piece."""
        points = (*self.points, self.points[0]) if self.closed else self.points
        yield from itertools.pairwise(points)

    @property
    def box(self) -> Box:
        """The box around all points."""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True)
class RoundMark:
    """A circle."""

    centre: XY
    radius: float
    role: str
    node: str


@dataclass
class Marks:
    """All that a picture holds."""

    texts: list[TextMark] = field(default_factory=list)
    lines: list[LineMark] = field(default_factory=list)
    rounds: list[RoundMark] = field(default_factory=list)
    size: XY = (0.0, 0.0)

    def of(self, *roles: str) -> list[LineMark]:
        """The lines of some roles."""
        return [line for line in self.lines if line.role in roles]


def read_marks(svg: bytes) -> Marks:
    """Everything drawn in a picture."""
    root = ElementTree.fromstring(svg)
    width, height = (float((root.get(name) or "0").removesuffix("mm")) for name in ("width", "height"))
    marks = Marks(size=(width, height))
    _read(root, marks, (0.0, 0.0))
    return marks


def _read(parent: ElementTree.Element, marks: Marks, shift: XY) -> None:
    for element in parent:
        tag = str(element.tag).rpartition("}")[2]
        if tag == "g":
            match = _SHIFT.search(element.get("transform") or "")
            dx, dy = (float(part or 0) for part in match.groups()) if match else (0.0, 0.0)
            _read(element, marks, (shift[0] + dx, shift[1] + dy))
        elif tag == "text":
            marks.texts.append(_text(element, shift))
        elif tag in ("circle", "ellipse"):
            marks.rounds.append(_round(element, shift))
        elif tag in ("polygon", "polyline"):
            marks.lines.append(_polygon(element, shift, closed=tag == "polygon"))
        elif tag == "path":
            marks.lines.extend(_path(element, shift))


def _attributes(element: ElementTree.Element) -> tuple[str, str]:
    return element.get("class") or "", element.get("data-node") or ""


def _number(element: ElementTree.Element, name: str) -> float:
    return float(element.get(name) or 0.0)


def _mm(x: float, y: float, shift: XY) -> XY:
    return (x + shift[0]) * MM_PER_POINT, (y + shift[1]) * MM_PER_POINT


def _text(element: ElementTree.Element, shift: XY) -> TextMark:
    """The text with the box of its ink: only as tall and as deep as its letters."""
    text = "".join(element.itertext())
    size = _number(element, "font-size")
    width = text_width(text, size, bold=element.get("font-weight") == "bold")
    start = {"middle": width / 2, "end": width}.get(element.get("text-anchor") or "", 0.0)
    x, y = _number(element, "x"), _number(element, "y")
    up = ASCENT if _TALL & set(text) else CAP_HEIGHT
    down = DESCENT if _HANGING & set(text) else 0.0
    left, top = _mm(x - start, y - up * size, shift)
    right, bottom = _mm(x - start + width, y + down * size, shift)
    role, node = _attributes(element)
    return TextMark(text, (left, top, right, bottom), size, role, node)


def _round(element: ElementTree.Element, shift: XY) -> RoundMark:
    role, node = _attributes(element)
    centre = _mm(_number(element, "cx"), _number(element, "cy"), shift)
    radius = max(_number(element, "r"), _number(element, "rx"))
    return RoundMark(centre, radius * MM_PER_POINT, role, node)


def _weight(element: ElementTree.Element) -> float:
    match = re.search(r"stroke-width:([\d.]+)", element.get("style") or "")
    return float(match.group(1)) if match else 1.0


def _polygon(element: ElementTree.Element, shift: XY, *, closed: bool) -> LineMark:
    numbers = [float(part) for part in re.split(r"[ ,]+", (element.get("points") or "").strip()) if part]
    points = tuple(_mm(x, y, shift) for x, y in zip(numbers[::2], numbers[1::2], strict=True))
    role, node = _attributes(element)
    return LineMark(points, closed, role, node, _weight(element))


def _path(element: ElementTree.Element, shift: XY) -> Iterator[LineMark]:
    """The straight runs of a path; of an arc only its two ends."""
    role, node = _attributes(element)
    weight = _weight(element)
    points: list[XY] = []
    for command, numbers in _commands(element.get("d") or ""):
        if command == "M" and points:
            yield LineMark(tuple(points), False, role, node, weight)
            points = []
        if command in "ML":
            points += [_mm(x, y, shift) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        elif command == "a" and points:
            x, y = points[-1]
            points.append((x + numbers[5] * MM_PER_POINT, y + numbers[6] * MM_PER_POINT))
    if points:
        yield LineMark(tuple(points), False, role, node, weight)


def _commands(text: str) -> Iterator[tuple[str, list[float]]]:
    command, numbers = "", [0.0][:0]
    for token in _TOKEN.findall(text):
        if token.isalpha():
            if command:
                yield command, numbers
            command, numbers = token, []
        else:
            numbers.append(float(token))
    if command:
        yield command, numbers
