"""A chapter has no procedure."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "procedure-missing"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each chapter without steps, at all or on one of its series."""
    for chapter in subject.book.chapters:
        if not chapter.steps and any(path.startswith("procedure.") for path in chapter.places):
            continue  # Reading has reported the steps that it could not read.
        held: set[str] = set()
        held.update(*(subject.holds(step) for step in chapter.steps))
        missing = subject.holds(chapter) - held
        if missing:
            where = subject.on_series(missing) if chapter.steps else ""
            yield Problem(
                RULE,
                f"The chapter of {chapter.code} has no procedure{where}.",
                chapter.place_of("procedure"),
                found=f"no steps{where}",
                expected="'procedure' with steps that end in a verdict",
                suggestion="Add 'procedure' with a test, its answers, and a verdict for each of them.",
            )
