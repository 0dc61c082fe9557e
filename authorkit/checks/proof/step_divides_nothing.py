"""A measurement comes out the same with every fault that leads to it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered, is_everywhere
from authorkit.checks.subject import Subject
from authorkit.diagnosis.answers import COMPUTED
from authorkit.diagnosis.proof import Proof
from authorkit.model.procedure import Step
from authorkit.problems import Problem

RULE = "step-divides-nothing"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step that divides nothing on any of its series.

    Proving a circuit dead is no search, and an answer that leads to a module or to an end without a verdict is taken
    with faults that nobody can list: those steps count as dividing.
    """
    for chapter, number, entry, where in gathered(subject, _idle):
        step = chapter.step(number)
        if step is None or not is_everywhere(entry, step, subject):
            continue
        yield Problem(
            RULE,
            f"Step {number} divides nothing{where}: with every fault that leads there the answer is {entry.listed(2)}.",
            chapter.place_of(f"procedure.{number}"),
            found=entry.listed(2),
            expected="a test whose answers share out the faults",
            suggestion="Leave the step out, or measure where the faults that are left read differently.",
        )


def _idle(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, faults in proof.arrivals.items() if proof.is_computed else ():
        step = proof.steps.get(number)
        if step is None or step.is_end or step.test is None or step.test.kind in ("absence", "look", "scan"):
            continue
        answers = [proof.procedure.answers.of(step, fault.id) for fault in faults]
        targets = {branch.goto for answer in answers for branch in answer.branches}
        is_told = all(answer.how == COMPUTED and not answer.missed for answer in answers)
        others = (branch.goto for branch in step.branches if branch.goto not in targets)
        if len(targets) == 1 and is_told and not any(_is_remainder(other, proof) for other in others):
            yield number, f"'{answers[0].branches[0].answer}'"


def _is_remainder(number: str, proof: Proof) -> bool:
    """Whether a step catches what is not told: a module, or an end without a verdict."""
    step: Step | None = proof.steps.get(number)
    modules = {part.id for part in proof.wiring.parts if part.kind == "module"}
    return step is not None and (bool(step.end) or any(name in modules for name in step.verdict))
