"""A fault that sets the code surely ends without a verdict, or goes round in circles."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.report import grouped
from authorkit.diagnosis.walk import LOST, UNNAMED, Ending
from authorkit.problems import Problem

RULE = "fault-unfound"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such end. A reading that lies in no answer has its own rule."""
    for chapter, number, entry, where in gathered(subject, _unfound):
        yield Problem(
            RULE,
            f"With these faults the procedure ends at step {number} without a verdict{where}: {entry.listed()}.",
            chapter.place_of(f"procedure.{number}"),
            found=f"step {number}, which accuses nothing",
            expected="a verdict for every fault that sets the code",
            suggestion="Let the answer before it lead to a test that goes on, or to a verdict.",
        )


def _unfound(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, pairs in proof.ends.items():
        step = proof.steps.get(number)
        faults = [fault for fault, ending in pairs if ending.sure and _is_unfound(ending, proof)]
        if step is not None:
            for words in grouped(faults, proof):
                yield number, words


def _is_unfound(ending: Ending, proof: Proof) -> bool:
    """Whether nothing is named at the end; to stop because a circuit is not dead is an end of its own."""
    before = [number for number, _ in ending.path[:-1]]
    if ending.outcome == LOST:
        return ending.step in before
    test = proof.steps[before[-1]].test if before else None
    return ending.outcome == UNNAMED and (test is None or test.kind != "absence")
