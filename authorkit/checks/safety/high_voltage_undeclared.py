"""A chapter's circuit can carry class B voltage, but the vehicle notebook says nothing about working on it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.problems import Problem

RULE = "high-voltage-undeclared"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for the vehicle notebook, about every series without an entry; it names the first such chapter."""
    vehicle = subject.book.vehicle
    declared = frozenset[str]().union(*(subject.holds(entry) for entry in vehicle.high_voltage))
    chapters: dict[str, Chapter] = {}
    missing: set[str] = set()
    volts = 0.0
    for circuit in subject.circuits:
        if circuit.class_b and circuit.series not in declared:
            missing.add(circuit.series)
            chapters.setdefault(circuit.chapter.file, circuit.chapter)
            volts = max(volts, *circuit.class_b.values())
    if missing:
        first = next(iter(chapters.values()))
        yield Problem(
            RULE,
            f"The circuit of {first.code} can carry {volts:.0f} V{subject.on_series(missing)}, but the vehicle "
            f"notebook has no 'high-voltage' entry for it.",
            vehicle.place,
            found="no 'high-voltage' entry",
            expected="disconnect, waiting time with its source, meter and glove class",
            suggestion="Add a 'high-voltage' entry with what the vehicle maker states.",
            also=tuple(chapter.place_of("circuit") for chapter in chapters.values())[:8],
        )
