"""Three checkers of finished circuit pictures: texts, joins, size of print.

They read the SVG, not the layout, so that a fault of the pen is found like a fault of the layout. Each returns plain
sentences; none means that the picture is in order.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from authorkit.drawing.inspect_shown import missing
from authorkit.drawing.netlist import CUT
from authorkit.drawing.svg_marks import XY, Box, LineMark, Marks, TextMark, read_marks
from authorkit.model.wiring import Wiring

NEAR = 0.06  # millimetres within which two points are one
_SMALLEST = 7.0  # points
_WIRES = ("wire", "strong-wire")
# The two points that a wire joins, in the order of their names, and its circuit.
Join = tuple[str, str, str]


def inspect_texts(svg: bytes) -> list[str]:
    """Texts that lie over each other, over a line, over a dot, or beyond the rim."""
    marks = read_marks(svg)
    found = [*_text_on_text(marks.texts), *_text_on_line(marks), *_beyond_rim(marks)]
    for text in marks.texts:
        for mark in marks.rounds:
            (x, y), r = mark.centre, mark.radius
            if mark.role in ("dot", "inner-dot") and _meet(text.box, (x - r, y - r, x + r, y + r), 0.1):
                found.append(f"'{text.text}' lies over a dot.")
    return found


def inspect_print(svg: bytes) -> list[str]:
    """Print that is too small to read."""
    marks = read_marks(svg)
    return [f"'{text.text}' is set in {text.size:g} pt." for text in marks.texts if text.size < _SMALLEST - 1e-6]


def inspect_joins(pictures: Sequence[bytes], wiring: Wiring) -> list[str]:
    """What the lines join against what the wires of the circuit join, over all sheets of a drawing; and every place
    where a reader could see a join that is not there."""
    drawn: Counter[Join] = Counter()
    found: list[str] = []
    sheets = [read_marks(svg) for svg in pictures]
    for marks in sheets:
        pairs, problems = _joins(marks)
        drawn.update(pairs)
        found += [*problems, *_false_joins(marks), *_boxes(marks), *_missing_names(marks)]
    drawn = _continued(drawn)
    declared = Counter(
        _join(str(wire.ends[0]), str(wire.ends[1]), wire.circuit)
        for wire in wiring.wires
        if wire.ends[0] != wire.ends[1]
    )
    for join, count in sorted((declared - drawn).items()):
        found.append(f"The wire {join[2]} from {join[0]} to {join[1]} is not drawn ({count} missing).")
    for join, count in sorted((drawn - declared).items()):
        found.append(
            f"A wire {join[2]} from {join[0]} to {join[1]} is drawn that is not in the circuit ({count} too many)."
        )
    return [*found, *missing(sheets, wiring)]


def crossings(svg: bytes) -> int:
    """How many times one wire passes over another, or over a splice that is drawn as a bar."""
    marks = read_marks(svg)
    wires = marks.of(*_WIRES)
    pieces = [(number, piece) for number, wire in enumerate(wires) for piece in wire.segments]
    pieces += [(-1 - number, piece) for number, bar in enumerate(marks.of("bar")) for piece in bar.segments]
    return sum(first < second and _cross(one, other) for first, one in pieces for second, other in pieces)


def bends(svg: bytes) -> int:
    """How many corners the wires have."""
    return sum(len(wire.points) - 2 for wire in read_marks(svg).of(*_WIRES))


# ------------------------------------------------------------------------------------------------------------ texts


def _text_on_text(texts: list[TextMark]) -> Iterator[str]:
    for number, first in enumerate(texts):
        for second in texts[number + 1 :]:
            if _meet(first.box, second.box, 0.1):
                yield f"'{first.text}' and '{second.text}' lie over each other."


def _text_on_line(marks: Marks) -> Iterator[str]:
    lines = [(line, line.box) for line in marks.lines if line.role != "slash"]
    for text in marks.texts:
        box = _shrunk(text.box, 0.1)
        for line, extent in lines:
            if _meet(box, extent, -NEAR) and any(_reaches(start, end, box) for start, end in line.segments):
                yield f"'{text.text}' lies over a line ({line.role} {line.node}".rstrip() + ")."


def _beyond_rim(marks: Marks) -> Iterator[str]:
    width, height = marks.size
    for text in marks.texts:
        left, top, right, bottom = text.box
        if left < -NEAR or top < -NEAR or right > width + NEAR or bottom > height + NEAR:
            yield f"'{text.text}' reaches beyond the rim of the picture."


def _shrunk(box: Box, by: float) -> Box:
    return box[0] + by, box[1] + by, box[2] - by, box[3] - by


def _meet(a: Box, b: Box, slack: float) -> bool:
    return a[0] < b[2] - slack and b[0] < a[2] - slack and a[1] < b[3] - slack and b[1] < a[3] - slack


def _reaches(start: XY, end: XY, box: Box) -> bool:
    """Whether a straight piece enters a box (clipping by Liang and Barsky)."""
    (x1, y1), (x2, y2) = start, end
    low, high = 0.0, 1.0
    for delta, begin, least, most in ((x2 - x1, x1, box[0], box[2]), (y2 - y1, y1, box[1], box[3])):
        if abs(delta) < 1e-9:
            if begin <= least or begin >= most:
                return False
            continue
        a, b = sorted(((least - begin) / delta, (most - begin) / delta))
        low, high = max(low, a), min(high, b)
    return low < high


# ------------------------------------------------------------------------------------------------------------ joins


def _join(first: str, second: str, circuit: str) -> Join:
    low, high = sorted((first, second))
    return low, high, circuit


def _joins(marks: Marks) -> tuple[list[Join], list[str]]:
    """The points that each wire joins, told by where its line ends, and its circuit."""
    pairs, found = [], []
    for wire in marks.of(*_WIRES):
        ends = [_point_at(end, marks) for end in (wire.points[0], wire.points[-1])]
        if all(ends):
            pairs.append(_join(ends[0], ends[1], wire.node))
        for end, point in zip((wire.points[0], wire.points[-1]), ends, strict=True):
            if not point:
                found.append(f"A wire ends in the air at {end[0]:.1f}, {end[1]:.1f} mm.")
    return pairs, found


def _continued(drawn: Counter[Join]) -> Counter[Join]:
    """Wires that go on on another sheet, put together again by their letter."""
    whole: Counter[Join] = Counter()
    halves: dict[tuple[str, str], list[str]] = {}
    for (first, second, circuit), count in drawn.items():
        marks = [point for point in (first, second) if point.startswith(CUT)]
        if not marks:
            whole[first, second, circuit] += count
            continue
        other = second if marks[0] == first else first
        halves.setdefault((marks[0].partition(" ")[0], circuit), []).append(other)
    for (letter, circuit), ends in halves.items():
        if len(ends) == 2:
            whole[_join(ends[0], ends[1], circuit)] += 1
        else:
            whole[letter, "another sheet", circuit] += len(ends)
    return whole


def _point_at(end: XY, marks: Marks) -> str:
    """What a wire's end touches: a dot, a ground or feed symbol, a cell."""
    for mark in marks.rounds:
        if mark.role == "dot" and _same(mark.centre, end):
            return mark.node
    for line in marks.of("mark"):
        if line.node and any(_on(end, piece) for piece in line.segments):
            return line.node
    for strip in marks.of("strip"):
        left, top, right, bottom = strip.box
        at_edge = min(abs(end[0] - left), abs(end[0] - right)) < NEAR
        if at_edge and top < end[1] < bottom:
            return _cell_at(end, strip, marks)
    return ""


def _cell_at(end: XY, strip: LineMark, marks: Marks) -> str:
    """The cavity whose number stands nearest to the height of a wire's end, within the cells that it touches."""
    left, top, right, bottom = strip.box
    numbers = [
        text
        for text in marks.texts
        if text.node.startswith(f"{strip.node}.")
        and left <= (text.box[0] + text.box[2]) / 2 <= right
        and top <= (text.box[1] + text.box[3]) / 2 <= bottom
    ]
    nearest = min(numbers, key=lambda text: abs((text.box[1] + text.box[3]) / 2 - end[1]), default=None)
    return nearest.node if nearest else ""


def _false_joins(marks: Marks) -> Iterator[str]:
    """Lines that touch where nothing is joined, and dots that stand where nothing is."""
    wires = marks.of(*_WIRES)
    dots = [mark for mark in marks.rounds if mark.role == "dot"]
    for number, wire in enumerate(wires):
        for other in wires[number + 1 :]:
            yield from _touches(wire, other, dots)
    for bar in marks.of("bar"):
        for wire in wires:
            for end in (wire.points[0], wire.points[-1]):
                if any(_on(end, piece) for piece in bar.segments) and not any(_same(end, dot.centre) for dot in dots):
                    yield f"A wire ends at the bar of {bar.node} without a dot."
    for dot in dots:
        ending = sum(_same(end, dot.centre) for wire in wires for end in (wire.points[0], wire.points[-1]))
        passing = sum(
            any(_on(dot.centre, piece) for piece in wire.segments)
            and not any(_same(end, dot.centre) for end in (wire.points[0], wire.points[-1]))
            for wire in wires
        )
        if not ending:
            yield f"The dot of {dot.node} stands where no wire ends."
        if passing:
            yield f"A wire passes through the dot of {dot.node} without ending there."


def _touches(wire: LineMark, other: LineMark, dots: Iterable[object]) -> Iterator[str]:
    """Where one wire's end or corner lies on another wire away from any dot, or two run in one line."""
    centres = [getattr(dot, "centre", (0.0, 0.0)) for dot in dots]
    for first, second in ((wire, other), (other, wire)):
        for point in first.points:
            if any(_on(point, piece) for piece in second.segments) and not any(_same(point, dot) for dot in centres):
                yield f"Two wires touch at {point[0]:.1f}, {point[1]:.1f} mm without being joined."
    for one in wire.segments:
        for another in other.segments:
            if _overlaid(one, another):
                yield f"Two wires run over each other near {one[0][0]:.1f}, {one[0][1]:.1f} mm."


def _overlaid(one: tuple[XY, XY], other: tuple[XY, XY]) -> bool:
    for axis in (0, 1):
        flat = 1 - axis
        if all(abs(point[flat] - one[0][flat]) < NEAR for point in (*one, *other)):
            low = max(min(one[0][axis], one[1][axis]), min(other[0][axis], other[1][axis]))
            high = min(max(one[0][axis], one[1][axis]), max(other[0][axis], other[1][axis]))
            if high - low > NEAR:
                return True
    return False


def _cross(one: tuple[XY, XY], other: tuple[XY, XY]) -> bool:
    """Whether a level and an upright piece pass through each other, not merely touch."""
    if (abs(one[0][1] - one[1][1]) < NEAR) == (abs(other[0][1] - other[1][1]) < NEAR):
        return False
    level, upright = (one, other) if abs(one[0][1] - one[1][1]) < NEAR else (other, one)
    x, y = upright[0][0], level[0][1]
    left, right = sorted((level[0][0], level[1][0]))
    top, bottom = sorted((upright[0][1], upright[1][1]))
    return left + NEAR < x < right - NEAR and top + NEAR < y < bottom - NEAR


def _same(first: XY, second: XY) -> bool:
    return abs(first[0] - second[0]) < NEAR and abs(first[1] - second[1]) < NEAR


def _on(point: XY, piece: tuple[XY, XY]) -> bool:
    """Whether a point lies on a straight piece that is level or upright."""
    (x1, y1), (x2, y2) = piece
    x, y = point
    inside = min(x1, x2) - NEAR < x < max(x1, x2) + NEAR and min(y1, y2) - NEAR < y < max(y1, y2) + NEAR
    return inside and (abs(y - y1) < NEAR or abs(x - x1) < NEAR) and (abs(y1 - y2) < NEAR or abs(x1 - x2) < NEAR)


# ------------------------------------------------------------------------------------------------- boxes and names


def _boxes(marks: Marks) -> Iterator[str]:
    """Parts over each other, connectors over each other, wires through either."""
    frames, strips = marks.of("frame"), marks.of("strip")
    boxes = [*frames, *strips]
    for number, first in enumerate(boxes):
        for second in boxes[number + 1 :]:
            if _meet(first.box, second.box, NEAR):
                yield f"The boxes of {first.node} and {second.node} lie over each other."
    for wire in marks.of(*_WIRES):
        for box in boxes:
            if any(_reaches(start, end, _shrunk(box.box, NEAR)) for start, end in wire.segments):
                yield f"A wire runs through the box of {box.node}."


def _missing_names(marks: Marks) -> Iterator[str]:
    """On each sheet: connectors whose name is not printed beside their cells."""
    texts = {text.text for text in marks.texts}
    for strip in marks.of("strip"):
        if strip.node and not any(strip.node == text or text.endswith(strip.node) for text in texts):
            yield f"The name of connector {strip.node} is not printed."
