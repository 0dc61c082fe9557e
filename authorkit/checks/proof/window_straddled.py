"""A reading lies in two answers of a step, and one of them ends at the wrong verdict."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.circuit.faults import Fault
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.readout import reading_in_words
from authorkit.diagnosis.report import grouped
from authorkit.diagnosis.walk import LOST, UNNAMED, WRONG, Ending
from authorkit.problems import Problem

RULE = "window-straddled"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such step, with the faults and what the meter reads under each."""
    for chapter, number, entry, where in gathered(subject, _straddled):
        step = chapter.step(number)
        assert step is not None  # it comes from the walks
        answers = ", ".join(f"'{branch.answer}'" for branch in step.branches)
        yield Problem(
            RULE,
            f"In step {number} a reading can lie in two answers, and one of them ends wrong{where}: {entry.listed()}.",
            chapter.place_of(f"procedure.{number}.then"),
            found=f"the answers {answers}",
            expected="answers that hold the whole window of a fault, or ends that are right for both",
            suggestion="Move the limit out of the window of the fault, or measure where its readings lie apart.",
        )


def _straddled(proof: Proof) -> Iterator[tuple[str, str]]:
    for walk in proof.walks:
        for ending in walk.endings:
            number = _torn(ending, walk.fault, proof)
            if number:
                reading = proof.procedure.answers.of(proof.steps[number], walk.fault.id).reading
                shown = f" ({reading_in_words(reading)})" if reading is not None else ""
                yield number, f"{grouped([walk.fault], proof)[0]}{shown}"


def _torn(ending: Ending, fault: Fault, proof: Proof) -> str:
    """The step at which a wrong way parted from a right one; '' where the ending is right, certain or guessed."""
    if not ending.torn or ending.open or ending.outcome not in (WRONG, UNNAMED, LOST):
        return ""
    for number, _ in ending.path[:-1]:
        answer = proof.procedure.answers.of(proof.steps[number], fault.id)
        if answer.straddles:
            return number
    return ""
