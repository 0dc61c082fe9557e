"""A capture below figures/ that cannot be read as samples over time."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.captures import captured, summary
from authorkit.checks.subject import Subject
from authorkit.problems import Place, Problem

RULE = "capture-malformed"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such file, at its line if that is known, with every waveform that names it."""
    named: dict[tuple[str, tuple[str, ...]], list[Place]] = {}
    for each in captured(subject.book):
        named.setdefault((each.file, each.waveform.channels), []).append(each.place)
    for (file, channels), places in named.items():
        problem = _problem(subject, file, channels, places)
        if problem is not None:
            yield problem


def _problem(subject: Subject, file: str, channels: tuple[str, ...], places: list[Place]) -> Problem | None:
    found = summary(subject.book.folder, file, channels)
    if found is None:
        error_words = f"The capture '{file}' cannot be opened."
        return Problem(RULE, error_words, places[0], file, "a file", "Correct its permissions.", tuple(places[1:]))
    if found.error is None:
        return None
    error = found.error
    spots = [Place(file, 0, error.line), *places] if error.line else places
    return Problem(
        RULE,
        f"The capture '{file}' cannot be read: {error}",
        spots[0],
        found=error.found,
        expected=error.expected,
        suggestion=error.suggestion,
        also=tuple(spots[1:]),
    )
