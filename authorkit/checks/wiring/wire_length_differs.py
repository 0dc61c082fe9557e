"""One wire has different lengths in two places."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import section_words, sections
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "wire-length-differs"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further length; a place that gives none contradicts nobody."""
    for section, wires in sections(subject).items():
        measured = [(wire.length, wire) for wire in wires if wire.length is not None]
        written = {length.base: as_typed(length) for length, _ in reversed(measured)}
        for found in contradictions(((length.base, wire) for length, wire in measured), subject):
            yield Problem(
                RULE,
                f"The wire {section_words(section)} is {written[found.later]} long here and {written[found.earlier]} "
                f"in {found.earlier_place}.",
                found.place,
                found=written[found.later],
                expected=written[found.earlier],
                suggestion="Give the length in one place, or correct one of them. Voltage drops are computed from it.",
                also=found.also,
            )
