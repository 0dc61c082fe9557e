"""A cavity has a signal name, but no notebook brings a wire to it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "cavity-without-wire"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each cavity, where its signal is first named on a series without a wire."""
    for point, uses in subject.harness.uses.items():
        if not subject.harness.is_known(point):
            continue
        wired: set[str] = set()
        wired.update(*(subject.holds(wire) for wire in subject.harness.wires.get(point, ())))
        for use in uses:
            missing = subject.holds(use) - wired
            if use.signal and missing:
                yield Problem(
                    RULE,
                    f"The cavity {point} carries '{use.signal}', but no wire of the book ends there"
                    f"{subject.on_series(missing)}.",
                    use.place,
                    found=str(point),
                    expected="a wire that ends there",
                    suggestion="Add the wire, or delete the signal name if the cavity is empty.",
                )
                break
