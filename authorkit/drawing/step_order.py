"""The order of the steps on a chart: each run follows the first answer down for as long as it can."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class ChartAnswer:
    """An answer in words and the number of the step that it leads to."""

    words: str
    goto: str


@dataclass(frozen=True)
class ChartStep:
    """One step of a chart, its words ready to print.

    The first answer leads down. A step without answers is an end. `title` is
    set in bold, `lines` below it. `caution` is the signal word of a caution that must be read before this step.
    """

    number: str
    title: str
    lines: tuple[str, ...] = ()
    answers: tuple[ChartAnswer, ...] = ()
    caution: str = ""

    @property
    def is_end(self) -> bool:
        """Whether the procedure ends here."""
        return not self.answers


@dataclass(frozen=True)
class Exit:
    """Where one or more answers of a step lead: `target` is None if no step has that number."""

    words: str
    goto: str
    target: ChartStep | None


def exits_of(step: ChartStep, steps: Sequence[ChartStep]) -> tuple[Exit, ...]:
    """The ways out of a step, the one that leads down first; answers with the same target are one way."""
    known = {other.number: other for other in steps}
    said: dict[str, list[str]] = {}
    for answer in step.answers:
        said.setdefault(answer.goto, []).append(answer.words)
    return tuple(Exit(" or ".join(words), goto, known.get(goto)) for goto, words in said.items())


def runs_of(steps: Sequence[ChartStep]) -> list[list[ChartStep]]:
    """All steps in runs. Each run starts at the first step not yet placed and goes down by the first answers.

    An end closes every run that comes down to it; where it is reached from the side it is drawn beside the step. Ends
    that nothing leads to have a run of their own, so that nothing is left out.
    """
    placed: set[str] = set()
    tests = [step for step in steps if not step.is_end]
    runs = [_run(start, steps, placed) for start in tests if start.number not in placed]
    beside = {way.goto for step in tests for way in exits_of(step, steps)}
    return runs + [[step] for step in steps if step.is_end and step.number not in placed | beside]


def _run(step: ChartStep, steps: Sequence[ChartStep], placed: set[str]) -> list[ChartStep]:
    run = [step]
    placed.add(step.number)
    while not run[-1].is_end:
        target = exits_of(run[-1], steps)[0].target
        if target is None or (target.number in placed and not target.is_end):
            break
        run.append(target)
        placed.add(target.number)
    return run
