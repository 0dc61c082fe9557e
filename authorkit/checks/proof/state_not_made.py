"""A step is to be done in a state that the words on the way do not make."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.circuit.harness import fuse_id
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.spoken import unmade
from authorkit.problems import Problem

RULE = "state-not-made"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step, with everything that is not said and one way on which it is not."""
    for chapter, number, entry, where in gathered(subject, _unmade):
        yield Problem(
            RULE,
            f"Step {number} is done with {entry.listed(4)}, but no step says so{where}.",
            chapter.place_of(f"procedure.{number}.do"),
            found=chapter.step(number).do,  # type: ignore[union-attr]
            expected="words in 'do' that make the state, such as 'Switch the key off. Unplug B5.'",
            suggestion="Say it in 'do', here or on every way to this step; or correct 'state'.",
        )


def _unmade(proof: Proof) -> Iterator[tuple[str, str]]:
    fuses = frozenset(fuse_id(device) for device in proof.wiring.devices if device.kind == "fuse")
    for left in unmade(proof.steps, proof.procedure.effort, fuses):
        yield left.step, f"{left.demand} (on the way {', '.join(left.way)})"
