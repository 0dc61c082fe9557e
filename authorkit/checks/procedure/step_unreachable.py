"""No answer leads to a step, or no end can be reached from it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.procedure.paths import ending, reached, steps_on
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Step
from authorkit.problems import Problem

RULE = "step-unreachable"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step that nobody arrives at, and one for each chapter where somebody goes round for ever."""
    for chapter in subject.book.chapters:
        lost: dict[str, set[str]] = {}
        endless: dict[str, list[str]] = {}
        for series in subject.series_of(chapter):
            steps = steps_on(chapter, series, subject)
            arrived = reached(steps)
            for number in steps.keys() - arrived:
                lost.setdefault(number, set()).add(series)
            if any(step.is_end for step in steps.values()):
                round_about = arrived - ending(steps)
                endless[series] = [number for number in steps if number in round_about and steps[number].branches]
        for step in chapter.steps:
            if step.number in lost:
                yield _lost(chapter, step, lost[step.number], subject)
        yield from _endless(chapter, endless, subject)


def _lost(chapter: Chapter, step: Step, series: set[str], subject: Subject) -> Problem:
    where = "" if series == subject.holds(step) else subject.on_series(series)
    first = next(iter(steps_on(chapter, min(series), subject)))
    return Problem(
        RULE,
        f"No way leads from step {first} to step {step.number}{where}.",
        step.place,
        found=f"step {step.number}, which no reachable step names",
        expected="an answer that leads to it",
        suggestion=f"Let an answer lead to step {step.number}, or delete it.",
    )


def _endless(chapter: Chapter, endless: dict[str, list[str]], subject: Subject) -> Iterator[Problem]:
    """The steps of a loop without an exit. A step that leads to an unknown step has its own finding."""
    known = {step.number: step for step in chapter.steps}
    for series, numbers in endless.items():
        if numbers and all(branch.goto in known for number in numbers for branch in known[number].branches):
            where = "" if endless == dict.fromkeys(endless, numbers) else subject.on_series({series})
            several = len(numbers) > 1
            yield Problem(
                RULE,
                f"{'Steps' if several else 'Step'} {', '.join(numbers)} never "
                f"{'lead' if several else 'leads'} to an end{where}.",
                known[numbers[0]].place,
                found="a loop without an exit",
                expected="an answer that leads, at last, to a verdict or an end",
                suggestion="Give the loop an answer that leaves it.",
                also=tuple(known[number].place for number in numbers[1:]),
            )
            return
