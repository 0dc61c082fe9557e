"""An answer leads to a step that does not exist."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed
from authorkit.checks.procedure.paths import reached_series
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Branch, Step
from authorkit.problems import Place, Problem

RULE = "step-goto-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such answer; a step that lacks on one series is missing there."""
    for chapter in subject.book.chapters:
        steps = {step.number: step for step in chapter.steps}
        arrived = reached_series(chapter, subject)
        for step in chapter.steps:
            for branch in step.branches:
                target = steps.get(branch.goto)
                if target is None:
                    yield _unknown(chapter, step, branch)
                elif missing := arrived[step.number] - subject.holds(target):
                    yield _on_series(chapter, step, branch, (subject.on_series(missing), target.place))


def _place(chapter: Chapter, step: Step, branch: Branch) -> Place:
    """The place of the number that the answer leads to."""
    return chapter.places.get(f"procedure.{step.number}.then.{branch.answer}", branch.place)


def _unknown(chapter: Chapter, step: Step, branch: Branch) -> Problem:
    return Problem(
        RULE,
        f"In step {step.number} the answer '{branch.answer}' leads to step '{branch.goto}', which does not exist.",
        _place(chapter, step, branch),
        found=branch.goto,
        expected=listed((each.number for each in chapter.steps), most=20),
        suggestion=f"Correct the number, or add step {branch.goto}.",
    )


def _on_series(chapter: Chapter, step: Step, branch: Branch, missing: tuple[str, Place]) -> Problem:
    where, place = missing
    return Problem(
        RULE,
        f"In step {step.number} the answer '{branch.answer}' leads to step {branch.goto}, which is missing{where}.",
        _place(chapter, step, branch),
        found=branch.goto,
        expected="a step that exists wherever this one does",
        suggestion=f"Write a step {step.number} for each series, or open step {branch.goto} for both.",
        also=(place,),
    )
