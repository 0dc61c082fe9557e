"""A capture on the graticule: the same picture as that of a described signal, with the values that were measured."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from authorkit.drawing.font import MM_PER_POINT, text_width
from authorkit.drawing.picture import Picture
from authorkit.drawing.waveform import Scale, on_graticule, scale_of
from authorkit.model.specification import Waveform
from authorkit.signals import Signal, Trace, describe
from authorkit.signals.capture import Capture, Channel, Samples, read_capture
from authorkit.signals.decimate import decimate
from authorkit.signals.limits import parse_limit
from authorkit.signals.measure import show_measured
from authorkit.signals.states import Sampled
from authorkit.signals.summary import Summary

# Columns of the picture for decimation: finer than the line is thick.
_COLUMNS = 600
# Of a long periodic capture this many periods are shown where no described signal sets the time base.
_PERIODS = 4
# Room for the name of a channel beside the graticule, in mm.
_NAME_ROOM = 12.0
# What is printed where the author gives no limits.
_USUAL = ("high", "low", "frequency", "duty", "peak-to-peak", "carrier-frequency", "envelope-frequency")


def draw_capture(waveform: Waveform, path: Path, summary: Summary) -> Picture:
    """The picture of a capture, from the first trigger on, on the scales of the described signal where both fit.

    Raises CaptureError or OSError as reading does.
    """
    capture = read_capture(path, waveform.channels)
    described = describe(waveform)[0] if waveform.shape else None
    expected = scale_of(described) if described else None
    shown = _window(capture, described, expected)
    traces = tuple(_trace(channel, capture.times, shown, number) for number, channel in enumerate(capture.channels, 1))
    signal = Signal(traces, shown.duration, capture.channels[0].dimension, shown.trigger, sampled=True)
    scale = scale_of(signal)
    if expected and described and _comparable(signal, described, expected):
        scale = expected
    said = f"Capture of {waveform.name}, {_many(len(traces), 'channel')}"
    return on_graticule(signal, scale, _measured(waveform, summary), said)


def _comparable(signal: Signal, described: Signal, expected: Scale) -> bool:
    """Whether the capture can be drawn on the scales of the described signal."""
    single = len(signal.traces) == 1 and len(described.traces) == 1
    return single and signal.dimension == described.dimension and expected.holds(signal)


@dataclass(frozen=True)
class _Shown:
    """The samples that are shown, the time across them, and the trigger within it (s)."""

    samples: slice
    start: float
    duration: float
    trigger: float


def _window(capture: Capture, described: Signal | None, expected: Scale | None) -> _Shown:
    """The part of a capture to show: all of it, or as much as shows the signal well, from its first rising edge."""
    first = Sampled(capture.times, capture.channels[0].values)
    whole = float(capture.times[-1] - capture.times[0])
    lasts, lead = whole, 0.0
    rising = first.edges.rising()
    if expected is not None and described is not None:
        lasts, lead = expected.width, described.trigger
    elif first.regular is not None:
        period = float(first.periods[first.regular].mean())
        lasts, lead = _PERIODS * period, period / 4
    if lasts >= whole or not len(rising):
        lasts = min(lasts, whole)
        start = float(capture.times[0])
    else:
        led = rising[rising - lead >= capture.times[0]]
        start = float((led if len(led) else rising)[0]) - lead
        start = min(max(start, float(capture.times[0])), float(capture.times[-1]) - lasts)
    from_here, to_here = np.searchsorted(capture.times, (start, start + lasts * (1 + 1e-9)))
    seen = rising[rising >= start]
    trigger = float(seen[0]) - start if len(seen) and seen[0] <= start + lasts else 0.0
    return _Shown(slice(int(from_here), int(to_here)), start, lasts, trigger)


def _trace(channel: Channel, times: Samples, shown: _Shown, number: int) -> Trace:
    name = channel.name if text_width(channel.name, 9 * MM_PER_POINT) <= _NAME_ROOM else f"CH{number}"
    points = decimate(times[shown.samples] - shown.start, channel.values[shown.samples], _COLUMNS)
    return Trace(name, points)


def _measured(waveform: Waveform, summary: Summary) -> list[str]:
    """'measured: frequency 120 Hz', 'duty 49.9 %' for the limits, or the usual values of each channel."""
    names = [name for name, _ in waveform.limits]
    if not names:
        several = len(summary.channels) > 1
        prefixes = [f"ch{number}." if several else "" for number in range(1, len(summary.channels) + 1)]
        names = [prefix + name for prefix in prefixes for name in _USUAL]
    values = ((name, value_words(summary, name)) for name in names)
    found = [f"{name} {value}" for name, value in values if value]
    return [f"measured: {found[0]}", *found[1:]] if found else []


def value_words(summary: Summary, name: str) -> str:
    """The measured value for the name of a limit, in print; '' where the capture does not have it."""
    limit = parse_limit(name)
    if limit.channel > len(summary.channels):
        return ""
    channel = summary.channels[limit.channel - 1]
    value = channel.values.get(limit.measurement)
    return "" if value is None else show_measured(limit.measurement, value, channel.dimension)


def _many(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
