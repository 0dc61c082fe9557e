"""A caution guards a step that the procedure does not have, so nobody would see it there."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "caution-step-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such step number of each caution."""
    for chapter in subject.book.chapters:
        numbers = [step.number for step in chapter.steps]
        for caution in chapter.cautions:
            for number in caution.steps:
                if number not in numbers:
                    yield Problem(
                        RULE,
                        f"The {caution.word} guards step {number}, which {chapter.code} does not have.",
                        caution.place,
                        found=number,
                        expected=listed(numbers),
                        suggestion=nearest(number, numbers, "Correct the number, or leave 'steps' out to guard all."),
                    )
