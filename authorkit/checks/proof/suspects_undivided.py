"""A verdict leaves several suspects, and the author does not say that they stay undivided."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.report import undivided
from authorkit.problems import Problem

RULE = "suspects-undivided"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each verdict at which faults of different things end, all of them named, without 'either'."""
    for chapter, number, entry, where in gathered(subject, _undivided):
        yield Problem(
            RULE,
            f"Step {number} does not tell {entry.listed()} apart{where}.",
            chapter.place_of(f"procedure.{number}.verdict"),
            found=entry.listed(),
            expected="one suspect a verdict, or 'either: yes'",
            suggestion="Add a test that divides them, or 'either: yes' if none is worth its time.",
        )


def _undivided(proof: Proof) -> Iterator[tuple[str, str]]:
    for left in undivided(proof):
        if not left.either:
            yield left.step, " and ".join(left.names)
