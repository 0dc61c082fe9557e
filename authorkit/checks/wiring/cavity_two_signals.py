"""Two notebooks name the signal at one cavity of a part differently."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "cavity-two-signals"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further name, where it is first used."""
    for point, uses in subject.harness.uses.items():
        for found in contradictions(((use.signal, use) for use in uses if use.signal), subject):
            yield Problem(
                RULE,
                f"The signal at {point} is called '{found.later}' here and '{found.earlier}' in {found.earlier_place}.",
                found.place,
                found=found.later,
                expected=found.earlier,
                suggestion="Use one name, or limit each to its series.",
                also=found.also,
            )
