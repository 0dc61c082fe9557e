"""THE table of described signals: what an author may write under `shape:`, and how each becomes corner points.

Edges are drawn from their corner points, never sampled, so that an ideal edge stands upright. Bus levels and frames
follow ISO 11898-2 (two-wire bus), ISO 17987 (one-wire bus) and SAE J2716 (SENT) in their form; the levels are the
author's.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from authorkit.signals.trace import Signal, Trace

Points = list[tuple[float, float]]

# A periodic signal goes on beyond the time that must be shown, because the time base is rounded up to 1, 2 or 5.
_SPARE = 3


class ShapeError(ValueError):
    """Values that contradict each other or cannot be drawn. `found` and `expected` go into the finding."""

    def __init__(self, message: str, found: str, expected: str) -> None:
        """Keep what stood there and what may stand there."""
        super().__init__(message)
        self.found = found
        self.expected = expected


@dataclass(frozen=True)
class Key:
    """One value of a shape: the dimensions it may have (empty = text), an example, whether it must be given."""

    dimensions: tuple[str, ...]
    example: str
    required: bool = True


@dataclass(frozen=True)
class Parameters:
    """The values of a described signal in base units, and what its vertical axis measures."""

    given: Mapping[str, float | str]
    axis: str

    def number(self, name: str, default: float | None = None) -> float:
        """A value in base units. Raises KeyError if it is not given and has no default."""
        value = self.given.get(name, default)
        if value is None:
            raise KeyError(name)
        return float(value)

    def text(self, name: str, default: str) -> str:
        """A value as text."""
        return str(self.given.get(name, default))

    def positive(self, name: str) -> float:
        """A value above zero. Raises ShapeError otherwise."""
        value = self.number(name)
        if value <= 0:
            raise ShapeError(f"'{name}' must be above zero.", str(value), "a value above zero")
        return value


@dataclass(frozen=True)
class Shape:
    """A row of the table."""

    words: str
    keys: Mapping[str, Key]
    make: Callable[[Parameters], Signal]


_LEVEL = Key(("voltage", "current"), "4.8 V")
_OPTIONAL_LEVEL = Key(("voltage", "current"), "0 V", required=False)
_FREQUENCY = Key(("frequency",), "120 Hz")
_TIME = Key(("time",), "2 ms")
_DUTY = Key(("ratio",), "50 %", required=False)
_TEXT = Key((), "11010", required=False)


def _steps(levels: Iterable[tuple[float, float]]) -> Points:
    """Upright steps from (duration, level) pairs."""
    points: Points = []
    time = 0.0
    for duration, level in levels:
        points += [(time, level), (time + duration, level)]
        time += duration
    return points


def _one(points: Points, given: Parameters, trigger: float = 0.0, shown: float | None = None) -> Signal:
    return Signal((Trace("1", tuple(points)),), shown or points[-1][0], given.axis, trigger)


def _level(given: Parameters) -> Signal:
    return _one([(0.0, given.number("level")), (1e-2, given.number("level"))], given)


def _square(given: Parameters) -> Signal:
    period = 1 / given.positive("frequency")
    duty = given.number("duty", 0.5)
    if not 0 < duty < 1:
        raise ShapeError(
            "The duty cycle must lie between 0 % and 100 %.", f"{duty:.0%}", "a value between 0 % and 100 %"
        )
    low, high = given.number("low"), given.number("high")
    start = period * 0.25
    cycle = [(period * duty, high), (period * (1 - duty), low)]
    return _one(_steps([(start, low), *cycle * (3 * _SPARE)]), given, start, shown=3.5 * period)


def _pulse_train(given: Parameters) -> Signal:
    """Teeth with gaps, as a toothed wheel gives them: `teeth` a turn, of which `missing` are left out."""
    period = 1 / given.positive("frequency")
    teeth, missing = int(given.text("teeth", "10")), int(given.text("missing", "1"))
    if not 0 < missing < teeth:
        raise ShapeError("More teeth are missing than the wheel has.", str(missing), f"1 to {teeth - 1}")
    low, high = given.number("low"), given.number("high")
    turn = [(period / 2, high), (period / 2, low)] * (teeth - missing) + [(period * missing, low)]
    return _one(_steps([(period / 2, low), *turn * (2 * _SPARE)]), given, period / 2, shown=(teeth + 4) * period)


def _sampled(function: Callable[[float], float], duration: float, samples: int) -> Points:
    return [(duration * n / samples, function(duration * n / samples)) for n in range(samples + 1)]


def _sine(given: Parameters) -> Signal:
    frequency, amplitude = given.positive("frequency"), given.number("amplitude")
    offset = given.number("offset", 0.0)
    wave = _sampled(
        lambda t: offset + amplitude * math.sin(math.tau * frequency * t), 3 * _SPARE / frequency, 180 * _SPARE
    )
    return _one(wave, given, shown=3 / frequency)


def _modulated(given: Parameters) -> Signal:
    carrier, envelope = given.positive("carrier"), given.positive("envelope")
    amplitude, depth = given.number("amplitude"), given.number("depth", 1.0)

    def value(t: float) -> float:
        return amplitude * (1 - depth + depth * math.sin(math.tau * envelope * t)) * math.sin(math.tau * carrier * t)

    wave = _sampled(value, _SPARE / envelope, _SPARE * _samples(carrier / envelope))
    return _one(wave, given, shown=1 / envelope)


def _samples(cycles: float) -> int:
    """Sixteen points a cycle of the carrier, within what a picture can show."""
    if cycles > 120:
        raise ShapeError(
            "The carrier is too fast to be drawn beside its envelope.", f"{cycles:.0f} cycles", "up to 120 cycles"
        )
    return max(64, math.ceil(cycles * 16))


def _resolver(given: Parameters) -> Signal:
    """Excitation, sine and cosine winding of a turning resolver, one electrical turn."""
    carrier, turns = given.positive("carrier"), given.positive("turning")
    amplitude, ratio = given.number("amplitude"), given.number("ratio", 0.5)
    duration, samples = 1 / turns, _samples(carrier / turns)

    def winding(phase: Callable[[float], float]) -> Points:
        def value(t: float) -> float:
            return amplitude * ratio * phase(math.tau * turns * t) * math.sin(math.tau * carrier * t)

        return _sampled(value, _SPARE * duration, _SPARE * samples)

    excitation = _sampled(lambda t: amplitude * math.sin(math.tau * carrier * t), _SPARE * duration, _SPARE * samples)
    traces = (("EXC", excitation), ("SIN", winding(math.sin)), ("COS", winding(math.cos)))
    return Signal(tuple(Trace(name, tuple(points)) for name, points in traces), duration, given.axis)


def _two_wire_bus(given: Parameters) -> Signal:
    """Both wires of a differential bus: 0 is dominant. Idle bits stand at both ends."""
    bit, bits = given.positive("bit-time"), _bits(given.text("bits", "0100110100101101"))
    resting = given.number("recessive")
    sides = (("H", given.number("dominant-high")), ("L", given.number("dominant-low")))
    pattern = "11" + bits + "111"
    traces = [
        Trace(name, tuple(_steps((bit, dominant if value == "0" else resting) for value in pattern)))
        for name, dominant in sides
    ]
    return Signal(tuple(traces), bit * len(pattern), given.axis, trigger=2 * bit)


def _bits(text: str) -> str:
    bits = text.replace(" ", "")
    if not bits or set(bits) - {"0", "1"} or len(bits) > 80:
        raise ShapeError("The bits must be written as 0 and 1.", text, "up to 80 characters 0 and 1")
    return bits


def _one_wire_bus(given: Parameters) -> Signal:
    """Break (13 dominant bits), delimiter, sync byte 0x55, then the identifier, each byte with start and stop bit."""
    bit = given.positive("bit-time")
    low, high = given.number("low"), given.number("high")
    data = _bits(given.text("bits", "01000001"))
    pattern = "11" + "0" * 13 + "1" + "0" + "10101010" + "1" + "0" + data + "1" + "11"
    return _one(_steps((bit, high if value == "1" else low) for value in pattern), given, trigger=2 * bit)


def _sent(given: Parameters) -> Signal:
    """Sync of 56 ticks, then nibbles of 12 to 27 ticks; each starts with 5 ticks at low level (SAE J2716)."""
    tick = given.positive("tick")
    low, high = given.number("low"), given.number("high")
    nibbles = given.text("nibbles", "0 5 A 3 C 7 2 9").split()
    try:
        lengths = [56, *(12 + int(nibble, 16) for nibble in nibbles)]
    except ValueError:
        raise ShapeError("The nibbles must be hexadecimal digits.", " ".join(nibbles), "0 5 A 3") from None
    pulses = [step for length in lengths for step in ((5 * tick, low), ((length - 5) * tick, high))]
    return _one(_steps([(8 * tick, high), *pulses, (5 * tick, low), (8 * tick, high)]), given, trigger=8 * tick)


def _ramp(given: Parameters) -> Signal:
    duration = given.positive("duration")
    low, high = given.number("low"), given.number("high")
    hold = duration * 0.15
    return _one([(0.0, low), (hold, low), (hold + duration, high), (duration + 2 * hold, high)], given, trigger=hold)


def _rc_edge(given: Parameters) -> Signal:
    """A step through a resistor into a capacitor: 1 − exp(−t/τ)."""
    tau = given.positive("tau")
    low, high = given.number("low"), given.number("high")
    edge = _sampled(lambda t: low + (high - low) * (1 - math.exp(-t / tau)), 6 * tau, 90)
    return _one([(0.0, low), *((time + tau, value) for time, value in edge)], given, trigger=tau)


def _inductive_kick(given: Parameters) -> Signal:
    """A coil switched to ground and off again: supply, low while on, the clamped kick, back to supply."""
    period = 1 / given.positive("frequency")
    supply, low, kick = (given.number(name) for name in ("supply", "low", "kick"))
    duty = given.number("duty", 0.3)
    flat, fall = period * 0.04, period * 0.03
    decay = _sampled(lambda t: supply + (kick - supply) * math.exp(-t / fall), 6 * fall, 40)
    cycle: Points = [
        (0.0, supply),
        (0.0, low),
        (period * duty, low),
        (period * duty, kick),
        (period * duty + flat, kick),
    ]
    cycle += [(period * duty + flat + time, value) for time, value in decay]
    cycle.append((period, supply))
    start = period * 0.15
    turns = range(2 * _SPARE)
    points = [(0.0, supply)] + [(start + turn * period + time, value) for turn in turns for time, value in cycle]
    return _one(points, given, start, shown=2.2 * period)


_LOW_HIGH = {"low": _LEVEL, "high": _LEVEL}

SHAPES: dict[str, Shape] = {
    "level": Shape("steady level", {"level": _LEVEL}, _level),
    "square": Shape("square wave", {**_LOW_HIGH, "frequency": _FREQUENCY, "duty": _DUTY}, _square),
    "pwm": Shape(
        "pulse width modulation", {**_LOW_HIGH, "frequency": _FREQUENCY, "duty": Key(("ratio",), "35 %")}, _square
    ),
    "pulse-train": Shape(
        "pulse train with missing teeth",
        {
            **_LOW_HIGH,
            "frequency": _FREQUENCY,
            "teeth": Key((), "36", required=False),
            "missing": Key((), "1", required=False),
        },
        _pulse_train,
    ),
    "sine": Shape("sine wave", {"amplitude": _LEVEL, "frequency": _FREQUENCY, "offset": _OPTIONAL_LEVEL}, _sine),
    "amplitude-modulated": Shape(
        "amplitude-modulated carrier",
        {
            "amplitude": _LEVEL,
            "carrier": _FREQUENCY,
            "envelope": _FREQUENCY,
            "depth": Key(("ratio",), "100 %", required=False),
        },
        _modulated,
    ),
    "resolver": Shape(
        "resolver: excitation, sine and cosine",
        {
            "amplitude": _LEVEL,
            "carrier": _FREQUENCY,
            "turning": _FREQUENCY,
            "ratio": Key(("ratio",), "50 %", required=False),
        },
        _resolver,
    ),
    "two-wire-bus": Shape(
        "two-wire bus frame",
        {"recessive": _LEVEL, "dominant-high": _LEVEL, "dominant-low": _LEVEL, "bit-time": _TIME, "bits": _TEXT},
        _two_wire_bus,
    ),
    "one-wire-bus": Shape("one-wire bus frame", {**_LOW_HIGH, "bit-time": _TIME, "bits": _TEXT}, _one_wire_bus),
    "sent": Shape("SENT frame", {**_LOW_HIGH, "tick": _TIME, "nibbles": Key((), "0 5 A 3", required=False)}, _sent),
    "ramp": Shape("ramp", {**_LOW_HIGH, "duration": _TIME}, _ramp),
    "rc-edge": Shape("edge through a resistor and a capacitor", {**_LOW_HIGH, "tau": _TIME}, _rc_edge),
    "inductive-kick": Shape(
        "switched coil with its kick",
        {"supply": _LEVEL, "low": _LEVEL, "kick": _LEVEL, "frequency": _FREQUENCY, "duty": _DUTY},
        _inductive_kick,
    ),
}
