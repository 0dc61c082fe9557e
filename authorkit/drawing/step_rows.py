"""The boxes of a step chart, one band of the page for each step: its box, its way down, its ways to the right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from authorkit.drawing.ink import LINE, width_of
from authorkit.drawing.shapes import XY, Circle, Path, Shape, Words, line, rectangle
from authorkit.drawing.step_order import ChartStep, Exit, exits_of
from authorkit.drawing.wrapped import wrapped

CUT_HEIGHT = 9.0
"""What the mark of a cut way takes above or below a sheet's boxes, in millimetres at the design size."""

_ASCENT, _DESCENT = 2.4, 0.7  # of a line of text at the design size
_PAD = 1.7  # from a frame to its text
_CELL = 9.0  # the cell of a step's number
_RADIUS = 3.3
_ARROW = (1.8, 0.8)
_DROP = 7.4  # from a box down to the next
_RUN_GAP = 5.0  # between two runs
_WAY_GAP = 2.2  # between two ways to the right
_SIGN = (4.6, 4.0)  # width and height of the safety alert symbol
_SPINE = _CELL / 2  # where ways lead down


@dataclass(frozen=True)
class Columns:
    """The page from left to right: boxes, the answers beside them, ends and marks."""

    width: float

    @property
    def box(self) -> float:
        """The right edge of the boxes."""
        return self.width * 0.46

    @property
    def ends(self) -> float:
        """The left edge of the ends on the right."""
        return self.width * 0.66


@dataclass(frozen=True)
class Jump:
    """A mark that sends the reader to another step, and where words beside it begin."""

    goto: str
    beside: XY


@dataclass(frozen=True)
class Band:
    """One step's part of the page. `closes` says that no way leads on to the next band."""

    number: str
    shapes: tuple[Shape, ...]
    height: float
    closes: bool
    jumps: tuple[Jump, ...] = ()
    caution: bool = False


def bands_of(run: Sequence[ChartStep], steps: Sequence[ChartStep], columns: Columns) -> list[Band]:
    """One band for each step of a run."""
    return [_band(step, exits_of(step, steps), columns, last=number == len(run) - 1) for number, step in enumerate(run)]


def _band(step: ChartStep, ways: Sequence[Exit], columns: Columns, *, last: bool) -> Band:
    right, jumps, reach = _ways_right(ways[1:], columns)
    frame = _Frame(step, columns.box)
    height = max(frame.height, reach)
    shapes = [*frame.shapes((0.0, 0.0), height), *right]
    if ways:
        drop = _drop_of(ways[0].words, columns)
        shapes += _way_down(ways[0].words, height, drop, columns)
        height += drop
    if ways and last:
        shapes += _jump_mark(ways[0].goto, (_SPINE, height + _RADIUS))
        jumps.append(Jump(ways[0].goto, (_SPINE + _RADIUS + 1.5, height + _RADIUS + _ASCENT / 2)))
        height += 2 * _RADIUS
    caution = bool(step.caution) or any(way.target and way.target.caution for way in ways[1:] if way.target)
    height += _RUN_GAP if last else 0.0
    return Band(step.number, tuple(shapes), height, last, tuple(jumps), caution)


class _Frame:
    """The box of a step: its number in a cell, then its words. An end has a heavy frame."""

    def __init__(self, step: ChartStep, width: float) -> None:
        self.step, self.width = step, width
        self.cell = max(_CELL, width_of(step.number, bold=True) + 3.0)
        room = width - self.cell - 2 * _PAD
        lines = [(text, True) for text in wrapped(step.title, room, bold=True)]
        lines += [(text, False) for said in step.lines for text in wrapped(said, room)]
        self.lines = lines or [("", False)]
        self.sign = _SIGN[1] + 1.2 if step.caution else 0.0
        self.height = 2 * _PAD + self.sign + _ASCENT + _DESCENT + (len(self.lines) - 1) * LINE

    def shapes(self, corner: XY, height: float) -> Iterator[Shape]:
        """The box with its top left corner here, as high as asked; its words stand in the middle."""
        (x, y), role = corner, "end" if self.step.is_end else "step"
        yield rectangle((x, y), (x + self.width, y + height), role, node=self.step.number)
        yield line((x + self.cell, y), (x + self.cell, y + height), "cavity")
        middle = y + height / 2 + _ASCENT / 2
        yield Words(self.step.number, x + self.cell / 2, middle, "middle", bold=True)
        top = y + (height - self.height) / 2 + _PAD
        if self.step.caution:
            yield from _alert(self.step.caution, (x + self.cell + _PAD, top))
        for number, (text, bold) in enumerate(self.lines):
            baseline = top + self.sign + _ASCENT + number * LINE
            yield Words(text, x + self.cell + _PAD, baseline, bold=bold)


def _alert(word: str, corner: XY) -> Iterator[Shape]:
    """The safety alert symbol of ANSI Z535 (an exclamation mark in a triangle) and the signal word."""
    (x, y), (width, height) = corner, _SIGN
    yield Path(((x, y + height), (x + width / 2, y), (x + width, y + height)), "step", closed=True)
    yield Words("!", x + width / 2, y + height - 0.55, "middle", bold=True)
    yield Words(word, x + width + 1.4, y + height - 0.55, bold=True)


def _ways_right(ways: Sequence[Exit], columns: Columns) -> tuple[list[Shape], list[Jump], float]:
    """Every way but the first, one below the other: the answer above its line, an end or a mark at its tip."""
    shapes: list[Shape] = []
    jumps: list[Jump] = []
    y = 0.0
    for way in ways:
        label = wrapped(way.words, columns.ends - columns.box - 3.6)
        frame = _Frame(way.target, columns.width - columns.ends) if way.target and way.target.is_end else None
        half = frame.height / 2 if frame else _RADIUS
        axis = y + max(len(label) * LINE + 0.6, half)
        for number, text in enumerate(label):
            shapes.append(Words(text, columns.box + 1.6, axis - 1.0 - (len(label) - 1 - number) * LINE))
        shapes += _arrow((columns.box, axis), (columns.ends, axis))
        if frame:
            shapes += frame.shapes((columns.ends, axis - half), frame.height)
        else:
            shapes += _jump_mark(way.goto, (columns.ends + _RADIUS, axis))
            jumps.append(Jump(way.goto, (columns.ends + 2 * _RADIUS + 1.5, axis + _ASCENT / 2)))
        y = axis + half + _WAY_GAP
    return shapes, jumps, max(y - _WAY_GAP, 0.0)


def _drop_of(words: str, columns: Columns) -> float:
    return max(_DROP, len(wrapped(words, columns.width - _SPINE - 3.0)) * LINE + 3.0)


def _way_down(words: str, top: float, drop: float, columns: Columns) -> Iterator[Shape]:
    label = wrapped(words, columns.width - _SPINE - 3.0)
    yield from _arrow((_SPINE, top), (_SPINE, top + drop))
    first = top + (drop - (len(label) - 1) * LINE + _ASCENT) / 2
    for number, text in enumerate(label):
        yield Words(text, _SPINE + 2.0, first + number * LINE)


def _arrow(start: XY, tip: XY) -> Iterator[Shape]:
    """A way from a box to the next thing, level to the right or straight down."""
    length, half = _ARROW
    (x, y), level = tip, start[1] == tip[1]
    foot = (x - length, y) if level else (x, y - length)
    yield Path((start, foot), "way")
    sides = ((foot[0], y - half), (foot[0], y + half)) if level else ((x - half, foot[1]), (x + half, foot[1]))
    yield Path((tip, *sides), "arrow", closed=True, fill="black")


def _jump_mark(goto: str, centre: XY) -> Iterator[Shape]:
    """The number of a step in a circle, or in a longer mark if it needs one."""
    width = width_of(goto, bold=True)
    x, y = centre
    if width <= 2 * _RADIUS - 1.6:
        yield Circle(centre, _RADIUS, "step", node=goto)
    else:
        yield rectangle((x - _RADIUS, y - _RADIUS), (x - _RADIUS + width + 2.4, y + _RADIUS), "step", node=f"→{goto}")
        x += (width + 2.4) / 2 - _RADIUS
    yield Words(goto, x, y + _ASCENT / 2 - 0.1, "middle", bold=True)


def sheet_notes(band: Band, sheet: int, where: Mapping[str, int]) -> Iterator[Shape]:
    """Beside each mark whose step stands on another sheet: which one."""
    for jump in band.jumps:
        if where.get(jump.goto, sheet) != sheet:
            x, y = jump.beside
            extra = max(0.0, width_of(jump.goto, bold=True) + 2.4 - 2 * _RADIUS)
            yield Words(f"on sheet {where[jump.goto]}", x + extra, y)


def continued_below(letter: str, sheet: int) -> Iterator[Shape]:
    """At the foot of a sheet: the way down goes on at this letter of another sheet."""
    yield Circle((_SPINE, _RADIUS), _RADIUS, "step", node=letter)
    yield Words(letter, _SPINE, _RADIUS + _ASCENT / 2 - 0.1, "middle", bold=True)
    yield Words(f"goes on at {letter} on sheet {sheet}", _SPINE + _RADIUS + 1.5, _RADIUS + _ASCENT / 2)


def continued_above(letter: str, sheet: int) -> Iterator[Shape]:
    """At the head of a sheet: the way comes from this letter of another sheet."""
    yield Circle((_SPINE, _RADIUS), _RADIUS, "step", node=letter)
    yield Words(letter, _SPINE, _RADIUS + _ASCENT / 2 - 0.1, "middle", bold=True)
    yield Words(f"from {letter} on sheet {sheet}", _SPINE + _RADIUS + 1.5, _RADIUS + _ASCENT / 2)
    yield from _arrow((_SPINE, 2 * _RADIUS), (_SPINE, CUT_HEIGHT))
