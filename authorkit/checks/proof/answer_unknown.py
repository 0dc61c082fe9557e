"""Nothing tells which faults bring which answer of a step, so the procedure cannot be proven beyond it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.answers import UNKNOWN
from authorkit.diagnosis.proof import Proof
from authorkit.problems import Problem

RULE = "answer-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step whose answer is neither computed nor told by 'shows'."""
    for chapter, number, entry, where in gathered(subject, _unknown):
        yield Problem(
            RULE,
            f"Nothing tells which faults bring which answer in step {number}{where}.",
            chapter.place_of(f"procedure.{number}"),
            found=entry.listed(1),
            expected="a test that can be computed, or 'shows' with the faults that bring an answer",
            suggestion="Add 'shows: {no: [connector B5]}' with the faults that bring the answer, measure with windows "
            "in a state, or read 'MODULE.VALUE' or 'status of the code' on the scan tool.",
        )


def _unknown(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, faults in proof.arrivals.items():
        step = proof.steps.get(number)
        if step is None or step.is_end or len({branch.goto for branch in step.branches}) < 2:
            continue
        answers = (proof.procedure.answers.of(step, fault.id) for fault in faults)
        if any(answer.how == UNKNOWN and answer.reading is None for answer in answers):
            kind = step.test.kind if step.test is not None else "do"
            answered = ", ".join(f"'{branch.answer}'" for branch in step.branches)
            yield number, f"the answers {answered} to '{kind}'"
