"""Two notebooks give one part a different name or kind."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "part-two-names"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further name or kind of a part; a notebook that only adds to it says neither."""
    for name, parts in subject.harness.parts.items():
        said = {
            "is called": [(part.name, part) for part in parts if part.name],
            "is a": [(part.kind, part) for part in parts if part.kind],
        }
        for words, facts in said.items():
            for found in contradictions(facts, subject):
                yield Problem(
                    RULE,
                    f"The part {name} {words} '{found.later}' here and '{found.earlier}' in {found.earlier_place}.",
                    found.place,
                    found=found.later,
                    expected=found.earlier,
                    suggestion="Name the part once, in the vehicle notebook if several chapters use it.",
                    also=found.also,
                )
