"""The waiting time after opening the service disconnect comes from nobody."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "high-voltage-waiting-unsourced"

_NO_SOURCE = ("", "none", "no", "unknown", "n/a", "na", "-", "?", "tbd", "todo")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each entry without a source. The toolkit never invents a waiting time, nor accepts one as is."""
    for entry in subject.book.vehicle.high_voltage:
        if entry.waiting_source.strip().rstrip(".").casefold() in _NO_SOURCE:
            yield Problem(
                RULE,
                f"The waiting time of {as_typed(entry.waiting)} after opening {entry.disconnect} has no source.",
                entry.place,
                found=entry.waiting_source or "nothing",
                expected="who states this waiting time, and where",
                suggestion="Write the vehicle maker's document into 'waiting-source'.",
            )
