"""Wires that belong together: the marks of twisted pairs, the boxes of shields with their drain wires.

A pair or a shield whose wires run nowhere side by side is told in words below the picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from authorkit.drawing.ink import width_of
from authorkit.drawing.labels import Box, boxes_of, text_box
from authorkit.drawing.mark_texts import bundles, twist
from authorkit.drawing.measures import PITCH, TWIST_ROOM
from authorkit.drawing.route_marks import Section
from authorkit.drawing.shapes import XY, Circle, Path, Shape, Words
from authorkit.model.wiring import Shield, TwistedPair, Wiring

_FAR = 3.1 * PITCH  # wires further apart are not seen as a pair
_LENGTHS = (8.0, 3.2)  # the least stretch for a mark: where there is room, and where there is none
_HALF = 1.25  # of the mark's width along the wires
_BEYOND = 1.1  # from a wire to the end of the mark across
_SHORT_SHIELD = 5.6  # a shield that encloses no labels
_ABOVE, _BELOW = 4.6, 2.0  # from the outer wires to the edges of a shield: a label stands above each wire


@dataclass(frozen=True)
class Stretch:
    """A straight piece of a wire: from, to, and where it lies across its direction."""

    start: float
    end: float
    at: float
    upright: bool

    def box(self) -> Box:
        """Its place on the page."""
        box = (self.start, self.at, self.end, self.at)
        return (box[1], box[0], box[3], box[2]) if self.upright else box


def stretches(circuit: str, sections: Iterable[Section], *, upright: bool = False) -> list[Stretch]:
    """The level or the upright pieces of a circuit."""
    found = []
    for section in sections:
        if section.wire.circuit == circuit:
            for first, second in zip(section.points, section.points[1:], strict=False):
                along, across = (1, 0) if upright else (0, 1)
                if first[across] == second[across] and first != second:
                    low, high = sorted((first[along], second[along]))
                    found.append(Stretch(low, high, first[across], upright))
    return found


def pair_marks(pair: TwistedPair, sections: Sequence[Section], fixed: Sequence[Shape]) -> list[Shape]:
    """A twist mark at each stretch where both wires of a pair run side by side with nothing between them."""
    for least in _LENGTHS:
        marks: list[Shape] = []
        for upright in (False, True):
            if upright and marks:
                break
            first, second = (stretches(circuit, sections, upright=upright) for circuit in pair.circuits)
            for own in _partners(first, second, least):
                marks += _mark(own, " ".join(pair.circuits), _obstacles(sections, fixed, *own))
        if marks:
            return marks
    return []


def _partners(first: list[Stretch], second: list[Stretch], least: float) -> list[tuple[Stretch, Stretch]]:
    """Stretches side by side, each the nearest to the other: a circuit may run along its partner in several places."""
    near = [
        (one, other)
        for one in first
        for other in second
        if abs(one.at - other.at) < _FAR and min(one.end, other.end) - max(one.start, other.start) > least
    ]

    def nearest(stretch: Stretch) -> float:
        return min(abs(one.at - other.at) for one, other in near if stretch in (one, other))

    return [own for own in near if abs(own[0].at - own[1].at) <= min(map(nearest, own)) + 1e-6]


def _obstacles(sections: Iterable[Section], fixed: Iterable[Shape], *own: Stretch) -> list[Box]:
    """What a mark must not touch: every other piece of wire, and what already stands on the page."""
    mine = {stretch.box() for stretch in own}
    pieces = [
        (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
        for section in sections
        for a, b in zip(section.points, section.points[1:], strict=False)
    ]
    wires = {"wire", "strong-wire"}
    return [piece for piece in pieces if piece not in mine] + [
        box for shape in fixed if shape.role not in wires for box in boxes_of(shape)
    ]


def _mark(own: tuple[Stretch, Stretch], node: str, obstacles: list[Box]) -> Iterator[Shape]:
    """The mark at the first free place from the start of the common stretch on; nothing if there is none."""
    one, other = own
    start, end = max(one.start, other.start), min(one.end, other.end)
    low, high = sorted((one.at, other.at))
    place = min(start + 2.6, (start + end) / 2)
    while place <= end - _HALF:
        box = (place - _HALF - 0.2, low - _BEYOND - 0.2, place + _HALF + 0.2, high + _BEYOND + 0.2)
        if one.upright:
            box = (box[1], box[0], box[3], box[2])
        if not any(_touch(box, other_box) for other_box in obstacles):
            yield from twist(place, (low, high), node, upright=one.upright)
            return
        place += 1.0


def _touch(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def shield_marks(shield: Shield, sections: Sequence[Section], fixed: Sequence[Shape], label: float) -> Iterator[Shape]:
    """A dashed box around the wires of a shield in each channel, with a line to its drain wire.

    `label` is the width of the widest label of the wires: where it has no room inside, the box is short.
    """
    own = [stretch for circuit in shield.circuits for stretch in stretches(circuit, sections)]
    for start, end, ys in bundles([(stretch.start, stretch.end, stretch.at) for stretch in own]):
        top, bottom = min(ys) - _ABOVE, max(ys) + _BELOW
        start, end = _beside_names((start + 0.5, top), (end - 0.5, bottom), fixed)
        if end - start < label + TWIST_ROOM + 2.0:
            end, top = min(start + _SHORT_SHIELD, end), min(ys) - _BELOW
        corners = ((start, top), (end, top), (end, bottom), (start, bottom))
        yield Path(corners, "shield", dash="3.2,2.2", closed=True, node=" ".join(shield.circuits))
        yield from _drain(shield.drain, (start, end), (top, bottom), sections)


def _beside_names(corner: XY, opposite: XY, fixed: Sequence[Shape]) -> tuple[float, float]:
    """The extent of a shield, drawn in where the name of a connector stands in its way."""
    (start, top), (end, bottom) = corner, opposite
    for shape in fixed:
        if isinstance(shape, Words):
            left, high, right, low = text_box(shape)
            if low > top - 0.3 and high < bottom + 0.3 and right > start and left < end:
                if right < (start + end) / 2:
                    start = max(start, right + 0.5)
                elif left > (start + end) / 2:
                    end = min(end, left - 0.5)
    return start, end


def _drain(
    drain: str, extent: tuple[float, float], edges: tuple[float, float], sections: Sequence[Section]
) -> Iterator[Shape]:
    """From the nearer edge of a shield to its drain wire, with a dot there."""
    for stretch in stretches(drain, sections) if drain else ():
        x = max(stretch.start, extent[0]) + 2.4
        if x < min(stretch.end, extent[1]):
            edge = edges[0] if stretch.at < edges[0] else edges[1]
            yield Path(((x, edge), (x, stretch.at)), "drain", node=drain)
            yield Circle((x, stretch.at), 0.6, "inner-dot", fill="black")
            return


def notes(wiring: Wiring, shapes: Iterable[Shape]) -> tuple[str, ...]:
    """In words what no mark of a sheet shows."""
    shown = {(shape.role, shape.node) for shape in shapes if shape.role in ("twist", "shield", "drain")}
    pairs = [pair_note(pair) for pair in wiring.pairs if ("twist", " ".join(pair.circuits)) not in shown]
    wired = {wire.circuit for wire in wiring.wires}
    shields = [
        shield_note(shield)
        for shield in wiring.shields
        if ("shield", " ".join(shield.circuits)) not in shown
        or (shield.drain in wired and ("drain", shield.drain) not in shown)
    ]
    return (*pairs, *shields)


def pair_note(pair: TwistedPair) -> str:
    """The words for a pair without a mark."""
    return f"{pair.circuits[0]} and {pair.circuits[1]} are twisted together."


def shield_note(shield: Shield) -> str:
    """The words for a shield without a box, or without its drain wire."""
    drain = f", its drain wire is {shield.drain}" if shield.drain else ""
    return f"A shield encloses {', '.join(shield.circuits)}{drain}."


def widest(labels: Iterable[str]) -> float:
    """The width of the widest of some labels."""
    return max((width_of(label) for label in labels), default=0.0)
