"""One wire has different cross-sections in two places."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import section_words, sections
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "wire-two-sizes"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further size. '0.5 mm²' and '20 AWG' differ: a trade size is never converted silently."""
    for section, wires in sections(subject).items():
        written = {wire.size.base: as_typed(wire.size) for wire in reversed(wires)}
        for found in contradictions(((wire.size.base, wire) for wire in wires), subject):
            yield Problem(
                RULE,
                f"The wire {section_words(section)} has {written[found.later]} here and {written[found.earlier]} "
                f"in {found.earlier_place}.",
                found.place,
                found=written[found.later],
                expected=written[found.earlier],
                suggestion="Correct the place that is wrong. The fuse is judged by this size.",
                also=found.also,
            )
