"""Which symbol of IEC 60617 each kind of device is drawn with, told from the finished picture.

The names of the symbols are from memory of IEC 60617 (database standard, graphical symbols for diagrams); its forms are
held here in words: a resistor is an oblong without a line through it, a fuse has the line, a lamp is a circle with a
cross.
What the standard has no symbol for is a rectangle with a text, as IEC 60617 allows for any object.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.svg_marks import LineMark, Marks, read_marks
from authorkit.model.device_kinds import DEVICE_KINDS
from tests.drawing.test_symbols import circuit_with


@dataclass(frozen=True)
class Drawn:
    """What is drawn of one device: its strokes, its circles, the texts and the grounds of the whole part."""

    strokes: list[LineMark]
    circles: int
    texts: set[str]
    bars: int

    @property
    def slanted(self) -> int:
        """Straight pieces that are neither level nor upright."""
        pieces = [piece for stroke in self.strokes if len(stroke.points) < 12 for piece in stroke.segments]
        return sum(abs(a[0] - b[0]) > 0.2 and abs(a[1] - b[1]) > 0.2 for a, b in pieces)

    @property
    def oblongs(self) -> int:
        """Rectangles, whether closed or drawn in one go with their leads."""
        return sum(self._is_oblong(stroke) for stroke in self.strokes)

    def _is_oblong(self, stroke: LineMark) -> bool:
        corners = {(round(x, 2), round(y, 2)) for x, y in stroke.points}
        xs, ys = {x for x, _ in corners}, {y for _, y in corners}
        return any(
            {(a, c), (a, d), (b, c), (b, d)} <= corners
            for a in xs
            for b in xs
            if a < b
            for c in ys
            for d in ys
            if c < d
        )

    @property
    def curves(self) -> int:
        """Strokes of many short pieces: the turns of a winding."""
        return sum(len(stroke.points) > 20 for stroke in self.strokes)


def resistor(drawn: Drawn) -> bool:
    return drawn.oblongs == 1 and not drawn.slanted and not drawn.circles


def thermistor(drawn: Drawn) -> bool:
    return drawn.oblongs == 1 and drawn.slanted == 1 and any("t°" in text for text in drawn.texts)


def stepped(drawn: Drawn) -> bool:
    return drawn.oblongs == 1 and drawn.slanted == 1 and not any("t°" in text for text in drawn.texts)


def heater(drawn: Drawn) -> bool:
    """Divided by lines across."""
    return drawn.oblongs == 1 and not drawn.slanted and len(drawn.strokes) == 6


def fuse(drawn: Drawn) -> bool:
    """An oblong and a line that runs through it."""
    return drawn.oblongs == 1 and not drawn.slanted and any(len(stroke.points) == 2 for stroke in drawn.strokes)


def lamp(drawn: Drawn) -> bool:
    return drawn.circles == 1 and drawn.slanted == 2


def contact(drawn: Drawn) -> bool:
    """One slanted arm, no circles."""
    return drawn.slanted == 1 and not drawn.circles and not drawn.oblongs


def diode(drawn: Drawn) -> bool:
    """A triangle before a bar."""
    return drawn.slanted == 2 and not drawn.circles and not drawn.oblongs


def light_diode(drawn: Drawn) -> bool:
    return drawn.slanted > 3 and not drawn.circles


def machine(drawn: Drawn) -> bool:
    return drawn.circles == 1 and "M" in drawn.texts


def machine_3(drawn: Drawn) -> bool:
    return machine(drawn) and "3~" in drawn.texts


def winding(drawn: Drawn) -> bool:
    return drawn.curves == 1 and not drawn.oblongs


def solenoid(drawn: Drawn) -> bool:
    """A winding with the line of a core."""
    return drawn.curves == 1 and len(drawn.strokes) == 4


def operating_device(drawn: Drawn) -> bool:
    """An oblong across the line, its leads at the middle of the long sides."""
    boxes = [stroke.box for stroke in drawn.strokes if stroke.closed]
    return any((right - left) > 1.3 * (bottom - top) for left, top, right, bottom in boxes) and drawn.oblongs >= 1


def cells(drawn: Drawn) -> bool:
    """Long and short lines across, in turn."""
    return not drawn.slanted and not drawn.circles and "+" in drawn.texts and len(drawn.strokes) >= 4


def slider(drawn: Drawn) -> bool:
    """A resistor with an arrow at its side, perhaps with another one before the arrow."""
    return drawn.oblongs in (1, 2) and any(stroke.closed and len(stroke.points) == 3 for stroke in drawn.strokes)


def transistor(drawn: Drawn) -> bool:
    """A switching transistor with the arrow of its emitter."""
    return drawn.slanted >= 2 and any(stroke.closed and len(stroke.points) == 3 for stroke in drawn.strokes)


def chassis(drawn: Drawn) -> bool:
    """Three bars, each shorter than the one above."""
    return drawn.bars == 3


def positions(drawn: Drawn) -> bool:
    """An arm that rests on one contact of those that there are."""
    return drawn.circles >= 1 and drawn.slanted == 1 and not drawn.oblongs


def in_circle(drawn: Drawn) -> bool:
    return drawn.circles == 1 and not drawn.slanted


def conductor(drawn: Drawn) -> bool:
    return not drawn.slanted and not drawn.circles and not drawn.oblongs and bool(drawn.strokes)


def block(drawn: Drawn) -> bool:
    return any(stroke.closed and len(stroke.points) == 4 for stroke in drawn.strokes) and bool(drawn.texts)


_BLOCK = ("object: rectangle with a qualifying text", block)
NAMES: dict[str, tuple[str, Callable[[Drawn], bool]]] = {
    "resistor": ("resistor, general symbol", resistor),
    "terminator": ("resistor, general symbol", resistor),
    "isolation": ("resistor, general symbol", resistor),
    "pull-up": ("resistor, general symbol", resistor),
    "pull-down": ("resistor, general symbol", resistor),
    "heater": ("heating element", heater),
    "thermistor": ("resistor, non-linearly variable with temperature", thermistor),
    "ladder-switch": ("resistor with adjustability in steps", stepped),
    "potentiometer": ("resistor with moving contact (potentiometer)", slider),
    "winding": ("inductor, winding, coil", winding),
    "solenoid": ("inductor with magnetic core", solenoid),
    "coil": ("operating device of a relay, general symbol", operating_device),
    "contact": ("change-over contact where it has three terminals", positions),
    "contactor": ("make contact", contact),
    "switch": ("make contact", contact),
    "selector": ("multi-position switch", positions),
    "fuse": ("fuse, general symbol", fuse),
    "lamp": ("lamp, general symbol", lamp),
    "diode": ("semiconductor diode, general symbol", diode),
    "clamp": ("semiconductor diode, general symbol", diode),
    "led": ("light-emitting diode", light_diode),
    "low-side": ("transistor", transistor),
    "high-side": ("transistor", transistor),
    "battery": ("battery of cells", cells),
    "pack": ("battery of cells", cells),
    "motor": ("motor (M in a circle)", machine),
    "motor-3": ("three-phase motor (M 3~ in a circle)", machine_3),
    "current-sensor": ("current source (I in a circle)", in_circle),
    "module-ground": ("functional earthing, frame connection", chassis),
    "link": ("connection", conductor),
    "read": _BLOCK,
    "half-bridge": _BLOCK,
    "reference": _BLOCK,
    "module-supply": _BLOCK,
    "bus-node": _BLOCK,
    "hall-switch": _BLOCK,
    "hall-linear": _BLOCK,
    "transducer": _BLOCK,
    "converter": _BLOCK,
    "inverter-phase": _BLOCK,
    "transceiver": _BLOCK,
    "loop-source": _BLOCK,
    "excitation": _BLOCK,
    "differential-input": _BLOCK,
    "block": _BLOCK,
}


def test_every_kind_has_a_symbol_by_name():
    assert set(NAMES) == set(DEVICE_KINDS)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("kind", sorted(NAMES))
def test_a_kind_is_drawn_with_the_symbol_of_that_name(kind, side):
    name, has_form = NAMES[kind]
    wiring = circuit_with(kind, side)
    ((picture,), _) = draw_circuit(wiring)
    drawn = _drawn(kind, read_marks(picture.svg))
    assert has_form(drawn), f"{kind} is not drawn as: {name}"


def test_a_contact_with_two_terminals_is_a_make_contact():
    wiring = circuit_with("contact", "right")
    device = replace(wiring.devices[0], terminals=wiring.devices[0].terminals[:2])
    ((picture,), _) = draw_circuit(replace(wiring, devices=(device,)))
    assert contact(_drawn("contact", read_marks(picture.svg)))


def _drawn(kind: str, marks: Marks) -> Drawn:
    frame = next(line.box for line in marks.of("frame") if line.node == "D1")
    inside = {
        text.text
        for text in marks.texts
        if not text.node and frame[0] < text.box[0] < frame[2] and frame[1] < text.box[1] < frame[3]
    }
    strokes = [
        line for line in marks.of("symbol", "library", "inner") if line.node.partition(" ")[0] == kind and line.box
    ]
    symbols = [line for line in strokes if line.role != "inner"] or strokes
    circles = sum(mark.node.partition(" ")[0] == kind and mark.role in ("symbol", "library") for mark in marks.rounds)
    bars = sum(frame[0] < line.box[0] < frame[2] for line in marks.of("mark"))
    return Drawn(symbols, circles, inside, bars)
