"""A wire begins and ends at the same point."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import all_wires
from authorkit.problems import Problem

RULE = "wire-both-ends-same"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such wire."""
    for wire in all_wires(subject):
        if wire.ends[0] == wire.ends[1]:
            yield Problem(
                RULE,
                f"The wire {wire.circuit} begins and ends at {wire.ends[0]}.",
                wire.place,
                found=f"{wire.ends[0]} twice",
                expected="two different ends",
                suggestion="Correct one of the two ends.",
            )
