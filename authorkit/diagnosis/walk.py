"""Walking a procedure under one fault: every way that its answers allow, where it ends, and how long it takes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from authorkit.circuit.faults import Fault
from authorkit.diagnosis.answers import UNKNOWN, Answer, Answers
from authorkit.diagnosis.blame import is_right
from authorkit.diagnosis.effort import Effort, Stand
from authorkit.model.procedure import Branch, Step

# Ways that are followed under one fault; a procedure with more open answers than that is not proven anyway.
MOST_WAYS = 200

RIGHT, WRONG, UNNAMED, LOST = "right", "wrong", "no verdict", "no answer"


@dataclass(frozen=True)
class Ending:
    """One way through the procedure under one fault.

    `path` holds each step with the answer taken, the last with ''. `outcome` is 'right' or 'wrong' (the verdict accuses
    the fault or something else), 'no verdict' (an end without one), or 'no answer' (a reading in no answer, a loop, a
    step that does not exist). `sure` means that nothing else can happen, `torn` that a reading on the way lies in
    several answers, `open` that some answer on the way is known to nobody.
    """

    path: tuple[tuple[str, str], ...]
    outcome: str
    minutes: float
    sure: bool
    torn: bool
    open: bool

    @property
    def step(self) -> str:
        """The number of the step where it ends."""
        return self.path[-1][0]


@dataclass(frozen=True)
class Walk:
    """Every ending of one fault."""

    fault: Fault
    endings: tuple[Ending, ...]


# A word of a text that may be a name, or a reference in braces.
_WORD = re.compile(r"\{\w+:([^{}]+)\}|[A-Za-z0-9+][\w+.-]*")


def names_of(step: Step) -> tuple[str, ...]:
    """What a verdict accuses: the names it gives, and with 'either' those that its repair shares the rest among.

    'Pull F3. If it is blown, find the short circuit in E103 or E143.' leads to E143 as surely as a list of names.
    """
    if not step.either:
        return step.verdict
    words = (match[1] or match[0].rstrip(".") for match in _WORD.finditer(step.repair))
    return (*step.verdict, *(name for word in words for name in (word, f"connector {word}")))


@dataclass(frozen=True)
class Procedure:
    """The steps of one chapter that hold on one series, with what answers them and what they cost.

    `blame` holds the right names of each fault by its id.
    """

    steps: Mapping[str, Step]
    answers: Answers
    effort: Effort
    blame: Mapping[str, frozenset[str]]

    def walk(self, fault: Fault) -> Walk:
        """Follow the procedure under a fault, at most MOST_WAYS ways."""
        found: list[Ending] = []
        if self.steps:
            for ending in self._from(next(iter(self.steps)), (_Way(), fault)):
                found.append(ending)
                if len(found) == MOST_WAYS:
                    break
        return Walk(fault, tuple(found))

    def _from(self, number: str, so_far: tuple[_Way, Fault]) -> Iterator[Ending]:
        way, fault = so_far
        step = self.steps.get(number)
        if step is None or any(number == passed for passed, _ in way.path):
            yield way.ending((number, ""), LOST)
        elif step.is_end:
            named = RIGHT if is_right(names_of(step), self.blame[fault.id]) else WRONG
            yield way.ending((number, ""), named if step.verdict else UNNAMED)
        else:
            yield from self._through(step, so_far)

    def _through(self, step: Step, so_far: tuple[_Way, Fault]) -> Iterator[Ending]:
        way, fault = so_far
        spent, stand = self.effort.of(way.stand, step.state, step.test)
        answer = self.answers.of(step, fault.id)
        after = way.after(spent, stand, answer)
        if answer.missed or not answer.branches:
            yield after.ending((step.number, ""), LOST)
        for branch in _one_a_target(answer.branches):
            onward = replace(after, path=(*way.path, (step.number, branch.answer)))
            yield from self._from(branch.goto, (onward, fault))


@dataclass(frozen=True)
class _Way:
    """A way through the procedure so far."""

    path: tuple[tuple[str, str], ...] = ()
    minutes: float = 0.0
    stand: Stand = field(default_factory=Stand)
    sure: bool = True
    torn: bool = False
    open: bool = False

    def after(self, spent: float, stand: Stand, answer: Answer) -> _Way:
        is_only = len({branch.goto for branch in answer.branches}) == 1 and not answer.missed
        return _Way(
            self.path,
            self.minutes + spent,
            stand,
            sure=self.sure and is_only,
            torn=self.torn or answer.straddles,
            open=self.open or _is_open(answer),
        )

    def ending(self, last: tuple[str, str], outcome: str) -> Ending:
        return Ending((*self.path, last), outcome, self.minutes, self.sure, self.torn, self.open)


def _is_open(answer: Answer) -> bool:
    return answer.how == UNKNOWN and len({branch.goto for branch in answer.branches}) > 1


def _one_a_target(branches: tuple[Branch, ...]) -> tuple[Branch, ...]:
    """Answers that lead to the same step are one way."""
    return tuple({branch.goto: branch for branch in reversed(branches)}.values())[::-1]
