"""A set condition watches a value that no module of the circuit reads."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.circuit.watch import READERS
from authorkit.model.chapter import Chapter
from authorkit.model.specification import SetCondition
from authorkit.problems import Problem

RULE = "watch-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each condition whose value is missing, at all or on one of its series."""
    for chapter in subject.book.chapters:
        values = {circuit.series: _values(circuit) for circuit in subject.circuits_of(chapter)}
        reported: set[str] = set()
        for condition in chapter.sets_when:
            held = subject.holds(condition)
            missing = {series for series in held if condition.watch not in values.get(series, set())}
            if condition.watch and missing and condition.watch not in reported:
                reported.add(condition.watch)
                where = "" if missing == held else subject.on_series(missing)
                yield _problem(chapter, condition, set().union(*values.values()), where)


def _values(circuit: ChapterCircuit) -> set[str]:
    """Every value that is read in a circuit: 'M1.ECT'."""
    return {
        f"{device.part}.{device.values['as']}"
        for device in circuit.wiring.devices
        if device.kind in READERS and device.values.get("as")
    }


def _problem(chapter: Chapter, condition: SetCondition, known: set[str], where: str) -> Problem:
    module, _, value = condition.watch.partition(".")
    return Problem(
        RULE,
        f"Nothing in the circuit of {chapter.code} reads the watched value '{condition.watch}'{where}.",
        condition.place,
        found=condition.watch,
        expected=listed(sorted(known)) if known else "a value that a 'read' device names with 'as'",
        suggestion=nearest(
            condition.watch, known, f"Add '{{read: CONNECTOR.CAVITY, as: {value}}}' to 'inside' of {module}."
        ),
    )
