"""A connector is used, but no place gives its rows, so its face cannot be drawn."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "connector-without-layout"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each connector, at its first mention on a series without rows."""
    for name, records in subject.harness.connectors.items():
        drawn: set[str] = set()
        drawn.update(*(subject.holds(record) for record in records if record.rows))
        for record in records:
            missing = subject.holds(record) - drawn
            if missing:
                yield Problem(
                    RULE,
                    f"No notebook gives the rows of the connector {name}{subject.on_series(missing)}, "
                    f"so its face cannot be drawn.",
                    record.place,
                    found=f"{name} without rows",
                    expected=f"'{name}' with rows among the connectors",
                    suggestion=f'Add a line such as {name}: {{rows: ["1-8", "9-16"]}} under \'connectors\'.',
                )
                break
