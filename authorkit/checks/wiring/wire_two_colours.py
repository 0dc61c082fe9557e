"""One wire has different colours in two places."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import section_words, sections
from authorkit.problems import Problem

RULE = "wire-two-colours"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further colour of the same circuit between the same two ends."""
    for section, wires in sections(subject).items():
        for found in contradictions(((wire.colour, wire) for wire in wires), subject):
            yield Problem(
                RULE,
                f"The wire {section_words(section)} is {found.later} here and {found.earlier} "
                f"in {found.earlier_place}.",
                found.place,
                found=str(found.later),
                expected=str(found.earlier),
                suggestion="Look at the wire and correct the place that is wrong.",
                also=found.also,
            )
