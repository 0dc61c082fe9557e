"""A fault that sets the code surely ends at a verdict that accuses something else."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.report import grouped
from authorkit.diagnosis.walk import WRONG
from authorkit.problems import Problem

RULE = "verdict-wrong"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each verdict, naming the faults for which every answer on the way is certain."""
    for chapter, number, entry, where in gathered(subject, _wrong):
        step = chapter.step(number)
        assert step is not None  # it comes from the walks
        yield Problem(
            RULE,
            f"Step {number} accuses {' or '.join(step.verdict)}, but these faults end there as well{where}: "
            f"{entry.listed()}.",
            chapter.place_of(f"procedure.{number}.verdict"),
            found=", ".join(step.verdict),
            expected="a verdict that accuses every fault that ends there",
            suggestion="Add a test before it that tells them apart, or name them in the verdict with 'either: yes'.",
        )


def _wrong(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, pairs in proof.ends.items():
        faults = [fault for fault, ending in pairs if ending.outcome == WRONG and ending.sure]
        for words in grouped(faults, proof):
            yield number, words
