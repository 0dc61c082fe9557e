"""A described waveform lacks a value, has one too many, or cannot be drawn."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem
from authorkit.signals import describe

RULE = "waveform-malformed"


def check(subject: Subject) -> Iterator[Problem]:
    """Every finding of describing each waveform that states a shape."""
    for chapter in subject.book.chapters:
        for waveform in chapter.waveforms:
            if waveform.shape:
                yield from describe(waveform)[1]
