"""A procedure is so short that it tests nothing, or so long that nobody follows it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.procedure.paths import steps_on
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "procedure-length"

# One test and two ends are the least that decides anything. The most is common practice: two printed pages.
FEWEST, MOST = 3, 20


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each chapter, on the series that is farthest off."""
    for chapter in subject.book.chapters:
        counts = {series: len(steps_on(chapter, series, subject)) for series in subject.series_of(chapter)}
        off = {series: count for series, count in counts.items() if count and not FEWEST <= count <= MOST}
        if off:
            series, count = max(off.items(), key=lambda item: abs(item[1] - FEWEST))
            where = "" if set(counts.values()) == {count} else subject.on_series({series})
            yield Problem(
                RULE,
                f"The procedure has {count} step{'' if count == 1 else 's'}{where}.",
                chapter.place_of("procedure"),
                found=f"{count} step{'' if count == 1 else 's'}",
                expected=f"{FEWEST} to {MOST} steps",
                suggestion="Add a test that separates the suspects."
                if count < FEWEST
                else "Test first what splits the suspects in halves, or make chapters of two circuits.",
            )
