"""A high-voltage cable is not orange."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import Section, section_of, wire_words
from authorkit.problems import Problem

RULE = "high-voltage-colour"

ORANGE = "OG"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each class B wire without an orange base colour.

    UN R100 and ISO 6469-3 ask for an orange outer covering on cables outside of enclosures (seen in excerpts).
    """
    reported: set[Section] = set()
    for series, whole in subject.wholes.items():
        class_b = subject.class_b[series]
        for wire in whole.wires if class_b else ():
            first, second = wire.ends
            if first in class_b and second in class_b and wire.colour.base.code != ORANGE:
                if section_of(wire) in reported:
                    continue
                reported.add(section_of(wire))
                yield Problem(
                    RULE,
                    f"The wire {wire_words(wire)} can carry {max(class_b[first], class_b[second]):.0f} V, but it is "
                    f"{wire.colour.words}.",
                    wire.place,
                    found=str(wire.colour),
                    expected=f"{ORANGE} as the base colour",
                    suggestion="Correct the colour. Accept the finding if the wire runs inside an enclosure.",
                )
