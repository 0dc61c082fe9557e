"""A verdict accuses something for which no fault that can set the code ends there."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered, is_everywhere
from authorkit.checks.subject import Subject
from authorkit.diagnosis.blame import plain_name
from authorkit.diagnosis.proof import Proof
from authorkit.problems import Problem

RULE = "verdict-idle"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each verdict that is idle on every series of its step.

    Modules are left out: what is inside them is only told in part. So are pages with a set condition in words: nobody
    can list the faults that meet it.
    """
    for chapter, number, entry, where in gathered(subject, _idle):
        step = chapter.step(number)
        if step is None or not is_everywhere(entry, step, subject):
            continue
        yield Problem(
            RULE,
            f"No fault that can set {chapter.code} makes step {number} right in accusing {entry.listed()}{where}.",
            chapter.place_of(f"procedure.{number}.verdict"),
            found=entry.listed(),
            expected="names whose faults set the code and end there",
            suggestion="Delete the name, or correct the test that should lead to it.",
        )


def _idle(proof: Proof) -> Iterator[tuple[str, str]]:
    modules = {part.id for part in proof.wiring.parts if part.kind == "module"}
    known = frozenset[str]().union(*proof.blame.values())
    for number, step in proof.steps.items() if proof.is_computed else ():
        blamed = frozenset[str]().union(*(proof.blame[fault.id] for fault, _ in proof.ends.get(number, ())))
        for name in step.verdict:
            plain = plain_name(name)
            if plain in known and plain not in blamed and plain.partition(" at ")[0] not in modules:
                yield number, name
