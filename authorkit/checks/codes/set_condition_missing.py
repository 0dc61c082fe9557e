"""A chapter does not say when its code sets."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "set-condition-missing"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each chapter without a set condition, at all or on one of its series."""
    for chapter in subject.book.chapters:
        if not chapter.sets_when and any(path.startswith("sets-when.") for path in chapter.places):
            continue  # Reading has reported the condition that it could not read.
        held: set[str] = set()
        held.update(*(subject.holds(condition) for condition in chapter.sets_when))
        missing = subject.holds(chapter) - held
        if missing:
            where = subject.on_series(missing) if chapter.sets_when else ""
            yield Problem(
                RULE,
                f"The chapter of {chapter.code} does not say when the code sets{where}.",
                chapter.place_of("sets-when"),
                found=f"no condition{where}",
                expected="'sets-when' with a watched value and its limit, or a sentence with its source",
                suggestion="Add 'sets-when: [{watch: MODULE.VALUE, above: 4.85 V, lasting: 2 s}]'.",
            )
