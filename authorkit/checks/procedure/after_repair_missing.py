"""A chapter ends with the repair: nobody clears the code or proves that it is cured."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "after-repair-missing"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such chapter."""
    for chapter in subject.book.chapters:
        refused = any(path.startswith("after-repair.") for path in chapter.places)
        if not chapter.after_repair and not refused:
            yield Problem(
                RULE,
                f"The chapter of {chapter.code} does not say what to do after the repair.",
                chapter.place_of("after-repair"),
                found="no 'after-repair'",
                expected="how to clear the code and to prove that the fault is cured",
                suggestion="Add 'after-repair: [Clear the code., Drive for 10 minutes., "
                "Confirm that the code does not return.]'.",
            )
