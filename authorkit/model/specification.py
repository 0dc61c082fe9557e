"""States of the vehicle, what an instrument must read in them, and when a code sets."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.model.point import Point
from authorkit.model.wiring import Series
from authorkit.problems import Place
from authorkit.units import Quantity, Window

# What an instrument measures: the key an author writes, the words on the page, and the dimension of the reading.
INSTRUMENTS: dict[str, tuple[str, str]] = {
    "volts": ("voltmeter", "voltage"),
    "drop": ("voltmeter, voltage drop", "voltage"),
    "low-impedance": ("voltmeter, low-impedance input", "voltage"),
    "ohms": ("ohmmeter", "resistance"),
    "amps": ("current clamp", "current"),
    "hertz": ("frequency meter", "frequency"),
    "duty": ("duty cycle meter", "ratio"),
    "lamp": ("test lamp", "voltage"),
    "insulation": ("insulation tester", "resistance"),
    "scope": ("oscilloscope", "voltage"),
    "absence": ("two-pole voltage tester, proven before and after", "voltage"),
}


# The shapes that a described signal may have.
WAVEFORM_SHAPES = (
    "level",
    "square",
    "pwm",
    "pulse-train",
    "sine",
    "amplitude-modulated",
    "resolver",
    "two-wire-bus",
    "one-wire-bus",
    "sent",
    "ramp",
    "rc-edge",
    "inductive-kick",
)


@dataclass(frozen=True)
class State:
    """A named condition in which readings hold: `cold: {key: on, B5: 20 °C}`.

    `key` is 'off', 'on', 'run', 'crank' or ''. `settings` pairs a part (or switch, or commanded output) with what it
    is set to, as text. `unplugged` names connectors, `pulled` fuses, `jumpers` pairs of points.
    """

    name: str
    place: Place
    key: str = ""
    unplugged: tuple[str, ...] = ()
    pulled: tuple[str, ...] = ()
    jumpers: tuple[tuple[Point, Point], ...] = ()
    settings: tuple[tuple[str, str], ...] = ()
    battery: Quantity | None = None
    disconnect: str = ""
    series: Series = ()


# Where an instrument is held at a plug that is off.
SIDES = ("harness", "part")


@dataclass(frozen=True)
class Spec:
    """What the author says an instrument reads: compared with what the circuit gives.

    `at` and `to` are the two points of the measurement; `to` is None for a clamp around the wire at `at`. `source` is
    '' where the circuit computes it, else a citation ('shop rule', 'capture F3'). `side` is one of SIDES, or '' where
    the usual side of an unplugged plug is meant.
    """

    instrument: str
    at: Point
    to: Point | None
    state: State
    reads: Window
    place: Place
    name: str = ""
    source: str = ""
    series: Series = ()
    side: str = ""


@dataclass(frozen=True)
class SetCondition:
    """When the code sets: a watched value and its limit, or a sentence with its source where nothing can be computed.

    `watch` is `MODULE.VALUE`, the name given by a read device inside that module ('M1.ECT'). `window` is the range in
    which the code sets. `lasting` is the time it must last, `during` the state in which it is watched, `trips` the
    number of trips in a row. `text` stands instead of watch and window where nothing can be computed.
    """

    place: Place
    watch: str = ""
    window: Window | None = None
    lasting: Quantity | None = None
    during: State | None = None
    trips: str = ""
    text: str = ""
    source: str = ""
    series: Series = ()


@dataclass(frozen=True)
class Waveform:
    """A described signal, a capture, or both.

    `shape` is one of WAVEFORM_SHAPES ('' when only a capture is given); `values` are its parameters by name.
    `capture` is a path below figures/, `channels` are those of its channels that count, by name (all if none is named).
    `limits` are measured values with their windows ('frequency': 90 to 110 Hz).
    """

    name: str
    at: Point
    to: Point | None
    place: Place
    state: State | None = None
    shape: str = ""
    values: tuple[tuple[str, Quantity | str], ...] = ()
    capture: str = ""
    limits: tuple[tuple[str, Window], ...] = ()
    series: Series = ()
    channels: tuple[str, ...] = ()


@dataclass(frozen=True)
class Suspect:
    """What the author knows about one possible fault: how often it happens and why."""

    fault: str
    place: Place
    chance: str = ""
    because: str = ""
    series: Series = ()
