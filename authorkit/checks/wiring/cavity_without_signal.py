"""A wire arrives at a cavity of a part, but nobody says what the signal is called there."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "cavity-without-signal"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each cavity, at the first wire that arrives there on a series without a name."""
    for point, wires in subject.harness.wires.items():
        connector = subject.harness.connector(point.owner)
        if connector is None or connector.in_line or not subject.harness.is_known(point):
            continue
        named: set[str] = set()
        named.update(*(subject.holds(use) for use in subject.harness.uses.get(point, ()) if use.signal))
        for wire in wires:
            missing = subject.holds(wire) - named
            if missing:
                yield Problem(
                    RULE,
                    f"The wire {wire.circuit} arrives at {point}{subject.on_series(missing)}, but no notebook says "
                    f"what the signal is called there.",
                    wire.place,
                    found=str(point),
                    expected=f"a signal name for cavity '{point.cavity}'",
                    suggestion=f"Add it to the connectors of {connector.part}: "
                    f"{{{point.owner}: {{\"{point.cavity}\": SIGNAL NAME}}}}.",
                )
                break
