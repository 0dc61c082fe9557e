"""THE table of symbols: how each kind of device is drawn.

The forms follow IEC 60617 where it has one (resistor box, fuse with the line through it, lamp with a cross, operating
device of a relay, make contact without circles, motor M, 3~); written from knowledge of the standard, whose text was
not at hand. A kind without a symbol of its own is a block with a text.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from authorkit.drawing.shapes import XY, Circle, Library, Path, Shape, Words, line
from authorkit.model.wiring import Device
from authorkit.units import Quantity, show

BODY = 5.5  # length of a resistor's box along its wire
CAP = 2.19  # height of a capital at the design size


@dataclass(frozen=True)
class Frame:
    """A symbol's own axes: `along` the line from start to end, `across` to its left hand seen on the page.

    `hand` −1 turns the symbol over to the other side of its line.
    """

    start: XY
    end: XY
    hand: float = 1.0

    @property
    def length(self) -> float:
        """From start to end."""
        return math.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    def at(self, along: float, across: float) -> XY:
        """A point on the page; `along` counts from the middle."""
        length = self.length or 1.0
        across *= self.hand
        ux, uy = (self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length
        middle = (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2
        return middle[0] + ux * along + uy * across, middle[1] + uy * along - ux * across


Drawer = Callable[[Frame, Device], Iterator[Shape]]


@dataclass(frozen=True)
class Symbol:
    """How a kind is drawn.

    `form` is 'two' (between two points), 'up' or 'down' (hangs from one line), 'end' (a block at the end of a line),
    'block', or one of the forms that `inside.py` knows by name. `body` and `half` are the length along the line and
    half the width across, in millimetres at the design size.
    """

    form: str
    draw: Drawer | None = None
    body: float = BODY
    half: float = 1.5


# ----------------------------------------------------------------------------------------------------- two-terminal


def _library(name: str, scale: float) -> Drawer:
    def draw(frame: Frame, device: Device) -> Iterator[Shape]:
        yield Library(name, frame.start, frame.end, scale)

    return draw


def _leads(frame: Frame, body: float) -> Iterator[Shape]:
    """The line on both sides of a body."""
    yield line(frame.start, frame.at(-body / 2, 0), "symbol")
    yield line(frame.at(body / 2, 0), frame.end, "symbol")


def _box(frame: Frame, body: float, half: float) -> Path:
    corners = (
        frame.at(-body / 2, half),
        frame.at(body / 2, half),
        frame.at(body / 2, -half),
        frame.at(-body / 2, -half),
    )
    return Path(corners, "symbol", closed=True)


def _thermistor(frame: Frame, device: Device) -> Iterator[Shape]:
    yield Library("resistor", frame.start, frame.end, BODY)
    yield Path((frame.at(-3.4, -2.4), frame.at(-2.2, -2.4), frame.at(2.9, 2.4)), "symbol")


def _stepped(frame: Frame, device: Device) -> Iterator[Shape]:
    """A resistor that varies in steps."""
    yield Library("resistor", frame.start, frame.end, BODY)
    yield Path((frame.at(-2.9, -2.4), frame.at(2.9, 2.4)), "symbol")
    yield Path((frame.at(2.2, 2.4), frame.at(2.9, 2.4), frame.at(2.9, 1.6)), "symbol")


def _heater(frame: Frame, device: Device) -> Iterator[Shape]:
    yield from _leads(frame, BODY)
    yield _box(frame, BODY, 1.3)
    for step in (-1, 0, 1):
        yield line(frame.at(step * BODY / 4, 1.3), frame.at(step * BODY / 4, -1.3), "symbol")


def _winding(frame: Frame, device: Device) -> Iterator[Shape]:
    body = 6.0
    yield from _leads(frame, body)
    points = []
    for turn in range(4):
        for step in range(9 if turn == 0 else 8):
            angle = math.pi * (1 - (step + (0 if turn == 0 else 1)) / 8)
            points.append(frame.at(-body / 2 + 0.75 + turn * 1.5 + 0.75 * math.cos(angle), 1.15 * math.sin(angle)))
    yield Path(tuple(points), "symbol")


def _solenoid(frame: Frame, device: Device) -> Iterator[Shape]:
    yield from _winding(frame, device)
    yield line(frame.at(-3.0, 1.9), frame.at(3.0, 1.9), "symbol")


def _coil(frame: Frame, device: Device) -> Iterator[Shape]:
    """The operating device of a relay; what clamps its kick is drawn beside it."""
    body = 3.6
    yield from _leads(frame, body)
    yield _box(frame, body, 2.9)
    clamp = str(device.values.get("clamp", ""))
    if clamp in ("diode", "resistor"):
        beside = Frame(frame.at(-frame.length / 2 + 0.9, -5.4), frame.at(frame.length / 2 - 0.9, -5.4))
        name, scale = ("diode", 4.0) if clamp == "diode" else ("resistor", 3.6)
        start, end = beside.start, beside.end
        # A clamp diode blocks while the coil is fed, so it points from the negative end to the positive one.
        yield Library(name, *((end, start) if clamp == "diode" else (start, end)), scale)
        for corner, along in ((start, -1), (end, 1)):
            foot = frame.at(along * (frame.length / 2 - 0.9), 0)
            yield line(foot, corner, "symbol")
            yield Circle(foot, 0.5, "inner-dot", fill="black")


def _motor(frame: Frame, device: Device) -> Iterator[Shape]:
    yield from _leads(frame, 6.4)
    centre = frame.at(0, 0)
    yield Circle(centre, 3.2, "symbol")
    yield Words("M", centre[0], centre[1] + CAP / 2, "middle")


def _contact(frame: Frame, device: Device) -> Iterator[Shape]:
    name = "closed-switch" if device.values.get("normally") == "closed" else "switch"
    yield Library(name, frame.start, frame.end, BODY)


def _source(text: str) -> Drawer:
    def draw(frame: Frame, device: Device) -> Iterator[Shape]:
        yield from _leads(frame, 6.4)
        centre = frame.at(0, 0)
        yield Circle(centre, 3.2, "symbol")
        yield Words(text, centre[0], centre[1] + CAP / 2, "middle")

    return draw


def _battery(frame: Frame, device: Device) -> Iterator[Shape]:
    yield Library("battery", frame.start, frame.end, BODY)
    x, y = frame.at(-2.6, -2.4)
    yield Words("+", x, y + CAP / 2, "middle")


def _link(frame: Frame, device: Device) -> Iterator[Shape]:
    yield line(frame.start, frame.end, "symbol")


SYMBOLS: dict[str, Symbol] = {
    "resistor": Symbol("two", _library("resistor", BODY)),
    "terminator": Symbol("two", _library("resistor", BODY)),
    "heater": Symbol("two", _heater),
    "solenoid": Symbol("two", _solenoid, 6.0, 2.0),
    "winding": Symbol("two", _winding, 6.0, 1.5),
    "lamp": Symbol("two", _library("lamp", 5.6), 5.6, 2.8),
    "diode": Symbol("two", _library("diode", 7.0), 2.6, 1.8),
    "led": Symbol("two", _library("led", 7.0), 2.6, 5.0),
    "thermistor": Symbol("two", _thermistor, BODY, 2.5),
    "ladder-switch": Symbol("two", _stepped, BODY, 2.5),
    "switch": Symbol("two", _contact, BODY, 2.6),
    "contactor": Symbol("two", _contact, BODY, 2.6),
    "contact": Symbol("contact", _contact, BODY, 2.6),
    "coil": Symbol("two", _coil, 3.6, 2.9),
    "fuse": Symbol("two", _library("fuse", BODY)),
    "motor": Symbol("two", _motor, 6.4, 3.2),
    "battery": Symbol("two", _battery, 4.0, 2.8),
    "pack": Symbol("two", _battery, 4.0, 2.8),
    "current-sensor": Symbol("two", _source("I"), 6.4, 3.2),
    "link": Symbol("link", _link, 0.0, 0.0),
    "potentiometer": Symbol("potentiometer", _library("resistor", BODY)),
    "selector": Symbol("selector"),
    "motor-3": Symbol("block"),
    "isolation": Symbol("two", _library("resistor", BODY)),
    "pull-up": Symbol("up", _library("resistor", BODY)),
    "pull-down": Symbol("down", _library("resistor", BODY)),
    "clamp": Symbol("up", _library("diode", 7.0), BODY, 1.8),
    "low-side": Symbol("down", None, BODY, 2.5),
    "high-side": Symbol("up", None, BODY, 2.5),
    "module-ground": Symbol("ground"),
    "read": Symbol("block"),
    "half-bridge": Symbol("block"),
    "reference": Symbol("block"),
    "module-supply": Symbol("block"),
    "bus-node": Symbol("block"),
    "hall-switch": Symbol("block"),
    "hall-linear": Symbol("block"),
    "transducer": Symbol("block"),
    "converter": Symbol("block"),
    "inverter-phase": Symbol("block"),
    "transceiver": Symbol("block"),
    "loop-source": Symbol("block"),
    "excitation": Symbol("block"),
    "differential-input": Symbol("block"),
    "block": Symbol("block"),
}


def transistor(at: XY, way: int, gate: float) -> Iterator[Shape]:
    """A switching transistor hanging from `at`, downwards (way 1) or upwards (−1), its gate on the side `gate` (±1)."""
    x, y = at
    for start, end in (((x, y), (x, y + way * 2.0)), ((x, y + way * 5.0), (x, y + way * 7.0))):
        yield line(start, end, "symbol")
    back = x + gate * 2.2
    yield line((x, y + way * 2.0), (back, y + way * 2.9), "symbol")
    yield line((x, y + way * 5.0), (back, y + way * 4.1), "symbol")
    yield line((back, y + way * 1.7), (back, y + way * 5.3), "symbol")
    yield line((back, y + way * 3.5), (back + gate * 2.0, y + way * 3.5), "symbol")
    # The arrow of the emitter: towards the lower end, as the current flows.
    tip, tail = ((x, y + 5.0), (back, y + 4.1)) if way > 0 else ((back, y - 2.9), (x, y - 2.0))
    tip = (x, y + 5.0) if way > 0 else (x, y - 2.0)
    tail = (back, y + 4.1) if way > 0 else (back, y - 2.9)
    yield _arrow_head(tail, tip)


def _arrow_head(tail: XY, tip: XY) -> Path:
    length = math.hypot(tip[0] - tail[0], tip[1] - tail[1]) or 1.0
    ux, uy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
    back = tip[0] - ux * 1.5, tip[1] - uy * 1.5
    corners = (tip, (back[0] + uy * 0.6, back[1] - ux * 0.6), (back[0] - uy * 0.6, back[1] + ux * 0.6))
    return Path(corners, "symbol", closed=True, fill="black")


def earth(at: XY) -> Iterator[Shape]:
    """The ground symbol below `at`: three bars."""
    x, y = at
    for number, half in enumerate((2.0, 1.25, 0.5)):
        yield line((x - half, y + number * 0.8), (x + half, y + number * 0.8), "mark")


def arrow_to(tail: XY, tip: XY) -> Iterator[Shape]:
    """A line with a filled head at its tip (the wiper of a potentiometer)."""
    yield line(tail, tip, "symbol")
    yield _arrow_head(tail, tip)


# ------------------------------------------------------------------------------------------------------------- texts


def lines_of(device: Device) -> tuple[str, ...]:
    """What is printed at the symbol: its number, its size, its name. Tolerances stand in the tables, not here."""
    said = _LINES.get(device.kind, _resistance)(device)
    label = str(device.values.get("label", "")) or device.name
    if label and label not in said and device.kind not in ("block", "fuse"):
        said = (label, *said)
    return tuple(text for text in said if text)


def _value(device: Device, key: str) -> str:
    value = device.values.get(key)
    if isinstance(value, Quantity):
        return show(Quantity(value.value, value.unit))
    return "" if value is None else str(value)


def _resistance(device: Device) -> tuple[str, ...]:
    return (_value(device, "r"),)


def _thermistor_lines(device: Device) -> tuple[str, ...]:
    """The sign of the temperature coefficient, and the resistance at 25 °C if it is stated."""
    table = device.values.get("table")
    falls = "beta" in device.values
    if isinstance(table, tuple) and len(table) > 1:
        ends = sorted((row[0].base, row[1].base) for row in table if isinstance(row[0], Quantity))
        falls = bool(ends) and ends[-1][1] < ends[0][1]
    return (("−" if falls else "+") + "t°", _value(device, "r25"))


def _rating(device: Device) -> tuple[str, ...]:
    return (f"{_value(device, 'id')} {_value(device, 'rating')}".strip(),)


def _levels(device: Device) -> tuple[str, ...]:
    return (f"{_value(device, 'low')} / {_value(device, 'high')}",)


_READS = {"voltage": "A/D", "current": "I", "frequency": "f", "duty": "duty", "level": "0/1"}


def _reading(device: Device) -> tuple[str, ...]:
    return (f"{_READS.get(str(device.values.get('what', 'voltage')), 'A/D')} {_value(device, 'as')}",)


def _texts(*texts: str, keys: tuple[str, ...] = ()) -> Callable[[Device], tuple[str, ...]]:
    def said(device: Device) -> tuple[str, ...]:
        return (*texts, *(_value(device, key) for key in keys))

    return said


def _or_else(key: str, text: str) -> Callable[[Device], tuple[str, ...]]:
    def said(device: Device) -> tuple[str, ...]:
        return (_value(device, key) or text,)

    return said


_LINES: dict[str, Callable[[Device], tuple[str, ...]]] = {
    "lamp": _texts(keys=("watts",)),
    "diode": _texts(),
    "led": _texts(),
    "thermistor": _thermistor_lines,
    "fuse": _rating,
    "switch": _texts(keys=("works-by",)),
    "contact": _texts(keys=("works-by",)),
    "contactor": _texts(keys=("works-by",)),
    "selector": _texts(),
    "ladder-switch": lambda device: (f"{len(_rows(device))} positions",),
    "motor": _texts(),
    "battery": _texts(keys=("volts",)),
    "pack": _texts(keys=("volts",)),
    "current-sensor": _levels,
    "motor-3": _texts("M", "3~"),
    "hall-switch": _texts("Hall", "switch"),
    "hall-linear": _texts("Hall"),
    "transducer": _texts(keys=("quantity",)),
    "converter": _texts("= / =", keys=("volts",)),
    "read": _reading,
    "low-side": _texts(keys=("command",)),
    "high-side": _texts(keys=("command",)),
    "half-bridge": lambda device: ("half bridge", _value(device, "command")),
    "inverter-phase": lambda device: ("phase", _value(device, "command")),
    "reference": _texts(keys=("volts",)),
    "module-ground": _texts(),
    "module-supply": _texts("supply"),
    "clamp": _texts(),
    "link": _texts(),
    "transceiver": _texts("bus", "driver"),
    "bus-node": _texts("bus", "driver"),
    "loop-source": _texts("loop", "source", keys=("volts",)),
    "excitation": _texts("G ~", keys=("frequency",)),
    "differential-input": lambda device: ("A/D", _value(device, "as")),
    "block": _or_else("label", "block"),
}


def _rows(device: Device) -> tuple[object, ...]:
    value = device.values.get("positions", ())
    return value if isinstance(value, tuple) else ()
