"""One reading would take two branches of a step."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from authorkit.checks.procedure.spans import Shared, battery_of, common, span_of
from authorkit.checks.subject import Subject
from authorkit.model.procedure import Branch, Step
from authorkit.problems import Problem

RULE = "step-window-overlap"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each pair of answers that share more than a limit."""
    battery = battery_of(subject.book)
    for chapter in subject.book.chapters:
        for step in chapter.steps:
            measured = [branch for branch in step.branches if branch.window is not None]
            for first, second in combinations(measured, 2):
                shared = _shared(first, second, battery)
                if shared is not None:
                    yield _problem(step, first, second, shared)


def _shared(first: Branch, second: Branch, battery: float) -> Shared | None:
    assert first.window is not None
    assert second.window is not None
    if first.window.dimension != second.window.dimension:
        return None
    return common(span_of(first.window, battery), span_of(second.window, battery))


def _problem(step: Step, first: Branch, second: Branch, shared: Shared) -> Problem:
    return Problem(
        RULE,
        f"In step {step.number} the answers '{first.answer}' and '{second.answer}' share {shared.words}.",
        second.place,
        found=second.answer,
        expected="windows that share one limit at most",
        suggestion="Move one of the limits so that every reading has one way to go.",
        also=(first.place,),
    )
