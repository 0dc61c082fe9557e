"""A set condition or a step on the scan tool names a value that no module of the circuit reads."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.circuit.watch import READERS
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Step
from authorkit.model.specification import SetCondition
from authorkit.problems import Place, Problem

RULE = "watch-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each value that is missing, at all or on one of the series, where it is named first."""
    for chapter in subject.book.chapters:
        values = {circuit.series: _values(circuit) for circuit in subject.circuits_of(chapter)}
        reported: set[str] = set()
        for fact, watch, place in _watched(chapter):
            held = subject.holds(fact)
            missing = {series for series in held if watch not in values.get(series, set())}
            if missing and watch not in reported:
                reported.add(watch)
                where = "" if missing == held else subject.on_series(missing)
                yield _problem(chapter, watch, place, (set().union(*values.values()), where))


def _watched(chapter: Chapter) -> Iterator[tuple[SetCondition | Step, str, Place]]:
    """Every value that is named, by what, and where."""
    for condition in chapter.sets_when:
        if condition.watch:
            yield condition, condition.watch, condition.place
    for step in chapter.steps:
        if step.test and step.test.watch:
            yield step, step.test.watch, chapter.place_of(f"procedure.{step.number}.scan")


def _values(circuit: ChapterCircuit) -> set[str]:
    """Every value that is read in a circuit: 'M1.ECT'."""
    return {
        f"{device.part}.{device.values['as']}"
        for device in circuit.wiring.devices
        if device.kind in READERS and device.values.get("as")
    }


def _problem(chapter: Chapter, watch: str, place: Place, words: tuple[set[str], str]) -> Problem:
    known, where = words
    module, _, value = watch.partition(".")
    return Problem(
        RULE,
        f"Nothing in the circuit of {chapter.code} reads the watched value '{watch}'{where}.",
        place,
        found=watch,
        expected=listed(sorted(known)) if known else "a value that a 'read' device names with 'as'",
        suggestion=nearest(watch, known, f"Add '{{read: CONNECTOR.CAVITY, as: {value}}}' to 'inside' of {module}."),
    )
