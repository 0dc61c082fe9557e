"""No single fault of the drawn circuit sets the code."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "code-never-sets"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each chapter on whose circuit no fault meets any set condition."""
    for chapter in subject.book.chapters:
        dead = {
            circuit.series
            for circuit in subject.circuits_of(chapter)
            if chapter.sets_when and not any(map(subject.study(circuit).may_set, subject.study(circuit).readings))
        }
        if dead:
            watched = ", ".join(dict.fromkeys(each.watch for each in chapter.sets_when if each.watch))
            yield Problem(
                RULE,
                f"No single fault of the circuit sets {chapter.code}{subject.on_series(dead)}.",
                chapter.place_of("sets-when"),
                found=watched,
                expected="a limit that some fault passes",
                suggestion="Correct the limit or the watched value, or draw the part of the circuit that fails.",
            )
