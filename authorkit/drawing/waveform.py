"""An oscilloscope picture: traces on a graticule of 10 by 8 divisions, with scales, zero marker and trigger."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.drawing.font import MM_PER_POINT, text_width
from authorkit.drawing.pen import render
from authorkit.drawing.picture import Picture
from authorkit.drawing.shapes import XY, Path, Scene, Shape, Words, line, rectangle
from authorkit.model.specification import Waveform
from authorkit.problems import Problem
from authorkit.signals import SHAPES, Signal, Trace, describe
from authorkit.units import format_value, show

_COLUMNS, _ROWS = 10, 8
_CELL = 9.0  # mm
_SIZE = 9.0  # pt
_LINE = _SIZE * 1.25 * MM_PER_POINT
_LEFT, _TOP, _RIGHT = 8.0, 5.0, 14.0
_GRID_WIDTH, _GRID_HEIGHT = _COLUMNS * _CELL, _ROWS * _CELL


def draw_waveform(waveform: Waveform) -> tuple[Picture | None, tuple[Problem, ...]]:
    """The picture of a described waveform, or None with the findings that stand in its way."""
    signal, problems = describe(waveform)
    if signal is None:
        return None, problems
    scale = scale_of(signal)
    values = [f"{name} {value if isinstance(value, str) else show(value)}" for name, value in waveform.values]
    said = f"Oscilloscope picture of {waveform.name}: {SHAPES[waveform.shape].words}"
    return on_graticule(signal, scale, values, said), ()


def on_graticule(signal: Signal, scale: Scale, values: list[str], said: str) -> Picture:
    """The picture of a signal: scales and `values` beneath it; `said` begins its alternative text."""
    legend = _legend(values, signal, scale)
    shapes = [*_graticule(), *_traces(signal, scale), *_markers(signal, scale), *_legend_words(legend)]
    height = _TOP + _GRID_HEIGHT + 3.0 + _LINE * len(legend) + 1.0
    scene = Scene(tuple(shapes), _LEFT + _GRID_WIDTH + _RIGHT, height, _SIZE)
    alt = f"{said}; {'; '.join(legend)}."
    return Picture(render(scene), scene.width, scene.height, alt, type_size=_SIZE)


@dataclass(frozen=True)
class Scale:
    """Seconds and units for one division, and how far each trace is moved down from the middle, in divisions."""

    time: float
    value: float
    zero: tuple[float, ...]

    def point(self, time: float, value: float, trace: int) -> XY:
        """Where a value of a trace lies at a time, in mm."""
        x = _LEFT + time / self.time * _CELL
        y = _TOP + (self.zero[trace] - value / self.value) * _CELL
        return x, y

    @property
    def width(self) -> float:
        """The time across the whole graticule, in s."""
        return self.time * _COLUMNS

    def holds(self, signal: Signal) -> bool:
        """Whether no trace leaves the graticule above or beneath."""
        reach = [zero - value / self.value for zero in self.zero for value in (signal.low, signal.high)]
        return min(reach) >= 0 and max(reach) <= _ROWS


def scale_of(signal: Signal) -> Scale:
    """The finest 1-2-5 steps that show everything. Traces that would hide each other get a band each."""
    time = _step_above(signal.duration / _COLUMNS)
    apart = len(signal.traces) > 2 or (signal.sampled and len(signal.traces) > 1)
    bands = len(signal.traces) if apart else 1
    room = _ROWS / bands - (0.4 if apart else 1.0)
    low, high = _with_zero(signal.low, signal.high)
    value = _step_above((high - low) / room)
    zeros = []
    for position in range(len(signal.traces)):
        middle = (position + 0.5) * _ROWS / bands if apart else _ROWS / 2
        zero = middle + (high + low) / 2 / value
        zeros.append(zero if apart else float(round(zero)))
    return Scale(time, value, tuple(zeros))


def _with_zero(low: float, high: float) -> tuple[float, float]:
    """The range to show: with zero in it, unless the signal moves too little for its distance from zero."""
    if low == high == 0:
        return -1.0, 1.0
    wider = min(low, 0.0), max(high, 0.0)
    return wider if low == high or (wider[1] - wider[0]) <= 4 * (high - low) else (low, high)


def _step_above(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in (1, 2, 5, 10) if step * power >= least * (1 - 1e-9))


def _graticule() -> Iterator[Shape]:
    for column in range(1, _COLUMNS):
        x = _LEFT + column * _CELL
        yield Path(((x, _TOP), (x, _TOP + _GRID_HEIGHT)), "graticule", dash=":")
    for row in range(1, _ROWS):
        y = _TOP + row * _CELL
        yield Path(((_LEFT, y), (_LEFT + _GRID_WIDTH, y)), "graticule", dash=":")
    yield from _ticks()
    yield rectangle((_LEFT, _TOP), (_LEFT + _GRID_WIDTH, _TOP + _GRID_HEIGHT), "frame")


def _ticks() -> Iterator[Shape]:
    """Fifths of a division on the two middle lines."""
    x_middle, y_middle = _LEFT + _GRID_WIDTH / 2, _TOP + _GRID_HEIGHT / 2
    for tick in range(1, _COLUMNS * 5):
        x = _LEFT + tick * _CELL / 5
        yield line((x, y_middle - 0.5), (x, y_middle + 0.5), "graticule")
    for tick in range(1, _ROWS * 5):
        y = _TOP + tick * _CELL / 5
        yield line((x_middle - 0.5, y), (x_middle + 0.5, y), "graticule")


def _traces(signal: Signal, scale: Scale) -> Iterator[Shape]:
    for position, trace in enumerate(signal.traces):
        shown = trace.points if signal.sampled else _shown(trace, scale.width)
        points = tuple(scale.point(time, value, position) for time, value in shown)
        role = "trace" if position != 1 else "second-trace"
        yield Path(points, role)


def _shown(trace: Trace, until: float) -> list[tuple[float, float]]:
    """The trace up to the right edge: cut there, or held at its last value."""
    points: list[tuple[float, float]] = []
    for (time, value), (later, next_value) in zip(trace.points, trace.points[1:], strict=False):
        points.append((time, value))
        if later >= until:
            share = (until - time) / (later - time) if later > time else 0.0
            return [*points, (until, value + share * (next_value - value))]
    last = trace.points[-1]
    return [*points, last, (until, last[1])]


def _markers(signal: Signal, scale: Scale) -> Iterator[Shape]:
    """Zero markers at the left, trigger at the top, the name of each channel at its right end."""
    for position, zero in enumerate(scale.zero):
        if zero not in scale.zero[:position]:
            yield from _zero_marker(zero)
    x = scale.point(signal.trigger, 0.0, 0)[0]
    yield Path(((x - 1.4, _TOP - 2.6), (x + 1.4, _TOP - 2.6), (x, _TOP - 0.3)), "symbol", closed=True, fill="black")
    if len(signal.traces) > 1:
        yield from _names(signal, scale)


def _zero_marker(zero: float) -> Iterator[Shape]:
    """A triangle at the zero line, or nothing if zero lies outside the picture."""
    y = _TOP + zero * _CELL
    if not _TOP <= y <= _TOP + _GRID_HEIGHT:
        return
    yield Path(((_LEFT - 2.6, y - 1.4), (_LEFT - 2.6, y + 1.4), (_LEFT - 0.3, y)), "symbol", closed=True, fill="black")
    yield Words("0", _LEFT - 3.2, y + 1.1, "end")


def _names(signal: Signal, scale: Scale) -> Iterator[Shape]:
    taken: list[float] = []
    for position, trace in enumerate(signal.traces):
        y = _name_height(trace, position, scale)
        while any(abs(y - other) < _LINE for other in taken):
            y += _LINE
        taken.append(y)
        yield Words(trace.name, _LEFT + _GRID_WIDTH + 1.5, y + 1.1)


def _name_height(trace: Trace, position: int, scale: Scale) -> float:
    """Where the trace leaves the picture, or the middle of its band if it has one."""
    if len(set(scale.zero)) > 1:
        return _TOP + scale.zero[position] * _CELL
    return scale.point(*_shown(trace, scale.width)[-1], position)[1]


def _legend(values: list[str], signal: Signal, scale: Scale) -> list[str]:
    """The scales, then the values, broken into lines that fit."""
    scales = f"{format_value(scale.value, signal.dimension)}/div, {format_value(scale.time, 'time')}/div"
    if not any(_TOP <= _TOP + zero * _CELL <= _TOP + _GRID_HEIGHT for zero in scale.zero):
        scales += ", zero is outside the picture"
    return [scales, *_wrapped(values, _LEFT + _GRID_WIDTH + _RIGHT - 2.0)]


def _wrapped(pieces: list[str], width: float) -> list[str]:
    lines: list[str] = []
    for piece in pieces:
        longer = f"{lines[-1]}, {piece}" if lines else piece
        if lines and text_width(longer, _SIZE * MM_PER_POINT) <= width - _LEFT:
            lines[-1] = longer
        else:
            lines.append(piece)
    return lines


def _legend_words(legend: list[str]) -> Iterator[Shape]:
    for number, text in enumerate(legend, start=1):
        yield Words(text, _LEFT, _TOP + _GRID_HEIGHT + 3.0 + number * _LINE - 1.0, bold=number == 1)
