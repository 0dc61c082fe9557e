"""A fault that sets the code surely ends at a verdict that accuses something else."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof, surely_sets
from authorkit.diagnosis.report import grouped
from authorkit.diagnosis.walk import WRONG, Ending
from authorkit.problems import Problem

RULE = "verdict-wrong"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each verdict, naming the faults that surely set the code and surely come there."""
    yield from wrong_verdicts(subject, RULE, _is_certain)


def _is_certain(proof: Proof, fault: str, ending: Ending) -> bool:
    return ending.sure and surely_sets(proof.study, fault)


# Picks faults by the proof, the fault's id, and how it ends.
Chosen = Callable[[Proof, str, Ending], bool]


def wrong_verdicts(subject: Subject, rule: str, chosen: Chosen) -> Iterator[Problem]:
    """The findings for those faults that `chosen` picks."""
    for chapter, number, entry, where in gathered(subject, lambda proof: _wrong(proof, chosen)):
        step = chapter.step(number)
        assert step is not None  # it comes from the walks
        yield Problem(
            rule,
            f"Step {number} accuses {' or '.join(step.verdict)}, but these faults end there as well{where}: "
            f"{entry.listed()}.",
            chapter.place_of(f"procedure.{number}.verdict"),
            found=", ".join(step.verdict),
            expected="a verdict that accuses every fault that ends there",
            suggestion="Add a test before it that tells them apart, or name them in the verdict with 'either: yes'.",
        )


def _wrong(proof: Proof, chosen: Chosen) -> Iterator[tuple[str, str]]:
    for number, pairs in proof.ends.items():
        ended = [(fault, ending) for fault, ending in pairs if ending.outcome == WRONG]
        faults = [fault for fault, ending in ended if chosen(proof, fault.id, ending)]
        for words in grouped(faults, proof):
            yield number, words
