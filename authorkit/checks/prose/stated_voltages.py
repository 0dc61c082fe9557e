"""Every voltage that the facts of a chapter state: what a number in its prose may agree with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Wiring
from authorkit.units import Quantity, Window

# A number in prose is rounded: 5 % either way still means the same value.
ROUNDING = 0.05
# What '12 V' may mean of a lead-acid battery, empty to charging, in V (common practice).
_TWELVE_VOLTS = (11.0, 15.0)

# Devices that hold a steady voltage for a sensor, and the value that says which.
_REFERENCES = {"reference": "volts", "pull-up": "to", "loop-source": "volts"}


@dataclass(frozen=True)
class Stated:
    """Windows (low and high in V), single values in V, and the steady supplies of the circuit in V."""

    windows: tuple[tuple[float, float], ...]
    values: tuple[float, ...]
    references: tuple[float, ...]
    supplies: tuple[float, ...]

    def agrees(self, volts: float) -> bool:
        """Whether a number lies in a window, or is about a value; nothing at all agrees with everything."""
        if volts == 0 or any(low <= volts <= high for low, high in self.windows):
            return True
        return any(self.is_about(volts, value) for value in self.values)

    @staticmethod
    def is_about(volts: float, value: float) -> bool:
        """Whether a number in prose may mean this value."""
        low, high = _TWELVE_VOLTS
        if low <= value <= high and low <= volts <= high:
            return True
        return abs(volts - value) <= ROUNDING * abs(value)


def stated_voltages(chapter: Chapter, subject: Subject) -> Stated:
    """Collect specs, waveforms, set conditions, answers of steps, states, devices, feeds and the battery."""
    battery = subject.book.vehicle.battery
    twelve = battery.base if battery else 12.6
    wirings = [circuit.wiring for circuit in subject.circuits_of(chapter)]
    references = _unique(_references(wirings))
    feeds = [feed.volts.base if feed.volts else twelve for wiring in wirings for feed in wiring.feeds]
    limits = [condition.window for condition in chapter.sets_when if condition.window]
    limits += [branch.window for step in chapter.steps for branch in step.branches if branch.window]
    windows = [spec.reads for spec in chapter.specs]
    windows += [window for waveform in chapter.waveforms for _, window in waveform.limits]
    values = [*_bounds(limits, twelve), *_bounds(windows, twelve), *_device_values(wirings), *_waveforms(chapter)]
    values += [state.battery.base for state in chapter.states if state.battery]
    return Stated(
        tuple(_spans(windows, twelve)),
        _unique([*values, *feeds, twelve]),
        references,
        _unique([*references, *feeds, twelve]),
    )


def _unique(values: Iterable[float]) -> tuple[float, ...]:
    return tuple(dict.fromkeys(values))


def _references(wirings: Iterable[Wiring]) -> Iterator[float]:
    for wiring in wirings:
        for device in wiring.devices:
            value = device.values.get(_REFERENCES.get(device.kind, ""))
            if isinstance(value, Quantity) and value.dimension == "voltage":
                yield value.base


def _device_values(wirings: Iterable[Wiring]) -> Iterator[float]:
    for wiring in wirings:
        for device in wiring.devices:
            for value in device.values.values():
                if isinstance(value, Quantity) and value.dimension == "voltage":
                    yield value.base


def _waveforms(chapter: Chapter) -> Iterator[float]:
    for waveform in chapter.waveforms:
        for _, value in waveform.values:
            if isinstance(value, Quantity) and value.dimension == "voltage":
                yield value.base


def _bounds(windows: Iterable[Window], battery: float) -> Iterator[float]:
    for window in windows:
        if window.dimension == "voltage":
            yield from (bound.resolve(battery) for bound in (window.low, window.high) if bound)


def _spans(windows: Iterable[Window], battery: float) -> Iterator[tuple[float, float]]:
    """Windows with both limits; one that is open would agree with nearly everything."""
    for window in windows:
        if window.dimension == "voltage" and window.high:
            yield window.low.resolve(battery) if window.low else 0.0, window.high.resolve(battery)
