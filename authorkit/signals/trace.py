"""What an oscilloscope shows: one or more traces over time."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Trace:
    """One channel: corner points (time in s, value in base units); straight lines run between them."""

    name: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Signal:
    """A described signal as traces.

    `duration` is the time in s that a picture must show at least; traces may go on beyond it. `dimension` is what the
    vertical axis measures ('voltage', 'current'), `trigger` the time at which the picture is triggered. A trace that
    is `sampled` comes from a capture: nothing is drawn beyond their last point.
    """

    traces: tuple[Trace, ...]
    duration: float
    dimension: str
    trigger: float = 0.0
    sampled: bool = False

    @property
    def low(self) -> float:
        """The lowest value of any trace."""
        return min(value for trace in self.traces for _, value in trace.points)

    @property
    def high(self) -> float:
        """The highest value of any trace."""
        return max(value for trace in self.traces for _, value in trace.points)
