"""A step leaves the technician standing: no answer at all, or a reading for which no answer is given."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.procedure.spans import Span, battery_of, gaps, span_of
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Branch, Step
from authorkit.problems import Problem

RULE = "step-without-answer"

_YES_NO = {"yes": "no", "no": "yes"}


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such step."""
    battery = battery_of(subject.book)
    for chapter in subject.book.chapters:
        for step in chapter.steps:
            missing = None if step.is_end else _missing(step, battery)
            if missing is not None and not _was_refused(chapter, step):
                yield _problem(chapter, step, missing)


def _missing(step: Step, battery: float) -> str | None:
    """The answer that is missing, in words; None if nothing is."""
    answers = {branch.answer for branch in step.branches}
    if not answers:
        return "an answer, a verdict or an end"
    if "else" in answers:
        return None
    for said, other in _YES_NO.items():
        if said in answers and other not in answers:
            return f"the answer '{other}'"
    if answers & _YES_NO.keys():
        return None
    windows = [branch for branch in step.branches if branch.window is not None]
    if len(windows) == len(step.branches):
        return _uncovered(windows, battery)
    is_test = bool(step.test or step.question)
    return "a second answer or 'else'" if is_test and len(answers) == 1 else None


def _uncovered(branches: list[Branch], battery: float) -> str | None:
    """The readings between and beyond the windows; None if there are none, or two kinds of quantity are mixed."""
    windows = [branch.window for branch in branches if branch.window is not None]
    if len({window.dimension for window in windows}) > 1:
        return None
    spans: list[Span] = [span_of(window, battery) for window in windows]
    left = gaps(spans, windows[0].dimension)
    return f"an answer for {' and for '.join(left)}" if left else None


def _was_refused(chapter: Chapter, step: Step) -> bool:
    """Whether reading has dropped an answer of this step, and reported it."""
    prefix = f"procedure.{step.number}.then."
    return sum(path.startswith(prefix) for path in chapter.places) > len(step.branches)


def _problem(chapter: Chapter, step: Step, missing: str) -> Problem:
    answers = ", ".join(f"'{branch.answer}'" for branch in step.branches)
    return Problem(
        RULE,
        f"Step {step.number} lacks {missing}.",
        chapter.place_of(f"procedure.{step.number}.then"),
        found=f"the answers {answers}" if answers else "neither 'then', 'verdict' nor 'end'",
        expected="an answer for whatever the technician may find",
        suggestion="Add 'else: STEP' to 'then'."
        if answers
        else "Add 'then: {yes: STEP, no: STEP}', a 'verdict' or an 'end'.",
    )
