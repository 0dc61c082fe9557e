"""A described bus signal has levels or times that the standard of its physical layer does not allow."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.procedure.spans import battery_of
from authorkit.checks.subject import Subject
from authorkit.problems import Problem
from authorkit.signals.plausible import doubts

RULE = "waveform-implausible"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such value."""
    usual = battery_of(subject.book)
    for chapter in subject.book.chapters:
        for number, waveform in enumerate(chapter.waveforms, 1):
            state = waveform.state
            for doubt in doubts(waveform, state.battery.base if state and state.battery else usual):
                yield Problem(
                    RULE,
                    f"Waveform '{waveform.name}': '{doubt.name}' is not what {doubt.source} allows.",
                    chapter.place_of(f"waveforms.{number}.values.{doubt.name}"),
                    found=doubt.found,
                    expected=doubt.expected,
                    suggestion="Correct the value, or choose another shape if this bus is of another kind.",
                )
