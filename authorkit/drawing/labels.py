"""Where texts find room: each is tried in one place after another until it touches nothing."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from authorkit.drawing.font import ASCENT, DESCENT
from authorkit.drawing.ink import EM, LINE, width_of
from authorkit.drawing.measures import WIRE_RISE
from authorkit.drawing.shapes import XY, Circle, Library, Path, Shape, Words

Box = tuple[float, float, float, float]

_UP, _DOWN = ASCENT * EM, DESCENT * EM
_STEP = 2.0
_CLEAR = 0.35  # daylight around a text
_ASIDE = 0.9  # further daylight between two texts side by side


@dataclass
class Obstacles:
    """What texts must keep clear of, as boxes; a line is a box without thickness."""

    boxes: list[Box] = field(default_factory=list)

    def add(self, shapes: Iterable[Shape]) -> None:
        """Take the outlines of shapes in; a frame is taken as its edges, so that its inside stays free."""
        for shape in shapes:
            self.boxes.extend(boxes_of(shape))

    def near(self, box: Box) -> list[Box]:
        """Those that could touch anything inside a box."""
        return [other for other in self.boxes if _touch(other, box)]


@dataclass(frozen=True)
class Task:
    """A text to be placed: places in order of preference, each a tuple of words that belong together."""

    places: tuple[tuple[Words, ...], ...]
    weight: float = 0.0  # tasks with little room go first


def place_all(tasks: Iterable[Task], obstacles: Obstacles) -> tuple[list[Words], int]:
    """The words of each task in the first place where they touch nothing, else where they touch least; and how many
    tasks found no free place."""
    placed: list[Words] = []
    crowded = 0
    for task in sorted(tasks, key=lambda task: task.weight):
        near = obstacles.near(_union([text_box(words) for place in task.places for words in place]))
        best, fewest = task.places[0], -1
        for place in task.places:
            hits = _hits(place, near)
            if fewest < 0 or hits < fewest:
                best, fewest = place, hits
            if not hits:
                break
        crowded += fewest > 0
        obstacles.boxes.extend(_kept_free(words) for words in best)
        placed += best
    return placed, crowded


def text_box(words: Words) -> Box:
    """The room that a text takes."""
    width = width_of(words.text, bold=words.bold)
    left = words.x - {"start": 0.0, "middle": width / 2, "end": width}[words.anchor]
    return left - _CLEAR, words.y - _UP, left + width + _CLEAR, words.y + _DOWN


def _kept_free(words: Words) -> Box:
    """A placed text with the room that keeps another from being read on from it."""
    left, top, right, bottom = text_box(words)
    return left - _ASIDE, top, right + _ASIDE, bottom


def boxes_of(shape: Shape) -> Iterator[Box]:
    """The boxes that a shape occupies."""
    if isinstance(shape, Words):
        yield text_box(shape)
    elif isinstance(shape, Circle):
        (x, y), r = shape.centre, shape.radius
        yield x - r, y - r, x + r, y + r
    elif isinstance(shape, Path):
        points = [*shape.points, shape.points[0]] if shape.closed else list(shape.points)
        for (x1, y1), (x2, y2) in itertools.pairwise(points):
            yield min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)
    elif isinstance(shape, Library):
        (x1, y1), (x2, y2) = shape.start, shape.end
        yield min(x1, x2) - 2, min(y1, y2) - 2, max(x1, x2) + 2, max(y1, y2) + 2
    else:
        (x, y), w, h = shape.centre, shape.width / 2, shape.height / 2
        yield x - w, y - h, x + w, y + h


def wire_places(points: tuple[XY, ...], text: str, parts: tuple[str, str]) -> Iterator[tuple[Words, ...]]:
    """Along the longest stretch above the wire, then below it, then in two lines, then beside an upright stretch."""
    pairs = list(itertools.pairwise(points))
    level = sorted((pair for pair in pairs if pair[0][1] == pair[1][1]), key=lambda pair: -abs(pair[0][0] - pair[1][0]))
    upright = [pair for pair in pairs if pair[0][0] == pair[1][0]]
    width = width_of(text)
    for below in (False, True):
        for (x1, y), (x2, _) in level:
            for x in _slides(min(x1, x2), max(x1, x2), width):
                yield (Words(text, x, y + (_UP + WIRE_RISE if below else -WIRE_RISE), "middle"),)
    narrow = max(width_of(part) for part in parts)
    for (x1, y), (x2, _) in level:
        for x in _slides(min(x1, x2), max(x1, x2), narrow):
            yield (
                Words(parts[0], x, y - WIRE_RISE, "middle"),
                Words(parts[1], x, y + _UP + WIRE_RISE, "middle"),
            )
    for (x, y1), (_, y2) in upright:
        middle = (y1 + y2) / 2 + 0.34 * EM
        for shift in (0.0, -LINE, LINE, -2 * LINE, 2 * LINE):
            yield (Words(text, x + 1.2, middle + shift, "start"),)
            yield (Words(text, x - 1.2, middle + shift, "end"),)
        for shift in (0.0, -LINE, LINE):
            for x_text, anchor in ((x + 1.2, "start"), (x - 1.2, "end")):
                yield (
                    Words(parts[0], x_text, middle + shift - LINE / 2, anchor),
                    Words(parts[1], x_text, middle + shift + LINE / 2, anchor),
                )
    # Nothing free: over the middle of the longest stretch, where the checkers will find it.
    (x1, y1), (x2, _) = max(pairs, key=lambda pair: abs(pair[0][0] - pair[1][0]))
    yield (Words(text, (x1 + x2) / 2, y1 - WIRE_RISE, "middle"),)


def _slides(left: float, right: float, width: float) -> Iterator[float]:
    """Centres for a text of this width on a stretch: the middle first, then outwards."""
    room = right - left - width - 1.2
    if room < 0:
        return
    middle = (left + right) / 2
    yield middle
    shift = _STEP
    while shift <= room / 2:
        yield middle - shift
        yield middle + shift
        shift += _STEP
    if room > _STEP:
        yield left + width / 2 + 0.6
        yield right - width / 2 - 0.6


def around(text: str, point: XY, reach: tuple[float, float]) -> Iterator[tuple[Words, ...]]:
    """Places around a dot: below right, below left, above right, above left, then further off."""
    x, y = point
    dx, dy = reach
    for more in (0.0, 1.6, 3.6):
        for below in (True, False):
            for anchor, side in (("start", 1.0), ("end", -1.0)):
                baseline = y + dy + _UP + more if below else y - dy - more
                yield (Words(text, x + side * dx, baseline, anchor),)


def _hits(place: tuple[Words, ...], near: list[Box]) -> int:
    return sum(_touch(text_box(words), box) for words in place for box in near)


def _touch(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _union(boxes: list[Box]) -> Box:
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )
