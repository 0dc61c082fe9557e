"""A splice joins fewer than two wires."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import section_of
from authorkit.model.point import Point
from authorkit.problems import Problem

RULE = "splice-one-leg"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each splice with no wire at all, or with a single one on some series."""
    for name, records in subject.harness.splices.items():
        wires = subject.harness.wires.get(Point(name), ())
        legs = {
            series: {section_of(wire) for wire in wires if series in subject.holds(wire)} for series in subject.series
        }
        single = {series for series, found in legs.items() if len(found) == 1}
        if single or not wires:
            where = "" if single == {series for series, found in legs.items() if found} else subject.on_series(single)
            yield Problem(
                RULE,
                f"The splice {name} joins {'only one wire' if wires else 'no wire'}{where}.",
                records[0].place,
                found="1 wire" if wires else "no wire",
                expected="2 wires or more",
                suggestion=f"Let the other wires end at {name}, or delete the splice.",
                also=(wires[0].place,) if wires else (),
            )
