"""The steps of a procedure as a net: which of them exist on a series, and which the answers lead to."""

from __future__ import annotations

from collections.abc import Mapping

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Step


def steps_on(chapter: Chapter, series: str, subject: Subject) -> Mapping[str, Step]:
    """The steps that hold on one series, by number, in the written order."""
    return {step.number: step for step in chapter.steps if series in subject.holds(step)}


def reached(steps: Mapping[str, Step]) -> set[str]:
    """The numbers of the steps that the first one leads to, itself included. A verdict leads nowhere."""
    found: set[str] = set()
    queue = [next(iter(steps))] if steps else []
    while queue:
        number = queue.pop()
        if number not in found:
            found.add(number)
            queue += _next(steps[number], steps)
    return found


def ending(steps: Mapping[str, Step]) -> set[str]:
    """The numbers of the steps from which some answer leads, at last, to a verdict."""
    before: dict[str, list[str]] = {number: [] for number in steps}
    for number, step in steps.items():
        for target in _next(step, steps):
            before[target].append(number)
    found: set[str] = set()
    queue = [number for number, step in steps.items() if step.is_end]
    while queue:
        number = queue.pop()
        if number not in found:
            found.add(number)
            queue += before[number]
    return found


def reached_series(chapter: Chapter, subject: Subject) -> Mapping[str, frozenset[str]]:
    """For each step the series on which a technician can arrive at it."""
    found: dict[str, set[str]] = {step.number: set() for step in chapter.steps}
    for series in subject.series_of(chapter):
        for number in reached(steps_on(chapter, series, subject)):
            found[number].add(series)
    return {number: frozenset(held) for number, held in found.items()}


def _next(step: Step, steps: Mapping[str, Step]) -> list[str]:
    return [] if step.is_end else [branch.goto for branch in step.branches if branch.goto in steps]
