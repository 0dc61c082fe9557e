"""A measured value of a capture lies outside the author's limits, or a limit names nothing that can be measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.procedure.spans import battery_of
from authorkit.checks.readings.captures import Captured, captured, summary
from authorkit.checks.subject import Subject
from authorkit.problems import Place, Problem
from authorkit.units import Window, as_typed

if TYPE_CHECKING:
    from authorkit.signals.summary import ChannelSummary, Summary

RULE = "capture-outside-limits"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each limit that its capture does not keep, or cannot be held against."""
    usual = battery_of(subject.book)
    for each in captured(subject.book):
        if not each.waveform.limits:
            continue
        found = summary(subject.book.folder, each.file, each.waveform.channels)
        if found is None or found.error is not None:
            continue
        state = each.waveform.state
        battery = state.battery.base if state and state.battery else usual
        for name, window in each.waveform.limits:
            place = each.chapter.places.get(f"{each.path}.limits.{name}", each.waveform.place)
            problem = _Limit(each, name, window, place).problem(found, battery)
            if problem is not None:
                yield problem


class _Limit:
    """One limit of a waveform with a capture."""

    def __init__(self, captured: Captured, name: str, window: Window, place: Place) -> None:
        self._who = f"Waveform '{captured.waveform.name}'"
        self._captured, self._name, self._window, self._place = captured, name, window, place

    def problem(self, found: Summary, battery: float) -> Problem | None:
        """What is wrong with it, if anything."""
        from authorkit.signals.limits import parse_limit
        from authorkit.signals.measure import COUNT, MEASUREMENTS, dimension_of

        wanted = parse_limit(self._name)
        limitable = [name for name, row in MEASUREMENTS.items() if row.dimension != COUNT]
        if wanted.measurement not in limitable:
            return self._unknown(wanted.measurement, limitable)
        if wanted.channel > len(found.channels):
            return self._no_channel(wanted.channel, found)
        channel = found.channels[wanted.channel - 1]
        dimension = dimension_of(wanted.measurement, channel.dimension)
        if dimension != self._window.dimension:
            return self._dimension(dimension)
        return self._outside(wanted.measurement, channel, battery)

    def _outside(self, measurement: str, channel: ChannelSummary, battery: float) -> Problem | None:
        from authorkit.signals.measure import show_measured

        value, capture = channel.values.get(measurement), self._captured.waveform.capture
        if value is None:
            return self._said(
                f"{self._who}: the capture '{capture}' has no '{self._name}' that could be measured.",
                "a signal without it",
                as_typed(self._window),
                "Use a capture that shows the signal long enough and fast enough, or delete this limit.",
            )
        if self._window.contains(value, battery):
            return None
        shown = show_measured(measurement, value, channel.dimension)
        return self._said(
            f"{self._who}: '{self._name}' of the capture '{capture}' is {shown}, outside its limits.",
            shown,
            as_typed(self._window),
            "Correct the limits, or use a capture of a sound vehicle.",
        )

    def _unknown(self, measurement: str, names: list[str]) -> Problem:
        return self._said(
            f"{self._who}: nothing called '{measurement}' can be measured on a capture.",
            measurement,
            listed(names, most=len(names)),
            nearest(measurement, names, "Use one of the names that 'authorkit measure' prints."),
        )

    def _no_channel(self, number: int, found: Summary) -> Problem:
        there = len(found.channels)
        return self._said(
            f"{self._who}: the capture '{self._captured.waveform.capture}' has no channel {number}.",
            self._name,
            f"channel 1 to {there}" if there > 1 else "channel 1",
            "Correct the channel, or export it with the capture.",
        )

    def _dimension(self, dimension: str) -> Problem:
        return self._said(
            f"{self._who}: '{self._name}' of this capture is a {dimension}, its limits are a {self._window.dimension}.",
            as_typed(self._window),
            f"limits of a {dimension}",
            "Write the limits in the unit that 'authorkit measure' prints.",
        )

    def _said(self, message: str, found: str, expected: str, suggestion: str) -> Problem:
        return Problem(RULE, message, self._place, found, expected, suggestion)
