"""Only one wire of the whole book reaches a cavity of an in-line connector."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.in_line import in_line_points
from authorkit.problems import Problem

RULE = "in-line-one-side"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such cavity, at its only wire."""
    for point, by_series in in_line_points(subject).items():
        alone = {name: wires[0] for name, wires in by_series.items() if len(wires) == 1}
        if alone:
            wire = next(iter(alone.values()))
            where = "" if len(alone) == len(by_series) else subject.on_series(set(alone))
            yield Problem(
                RULE,
                f"The wire {wire.circuit} enters the in-line cavity {point}{where}, but no wire leaves it on the "
                f"other side.",
                wire.place,
                found=f"one wire at {point}",
                expected="one wire on each side",
                suggestion=f"Add the wire on the other side, or name the part that {point.owner} plugs into.",
            )
