"""A suspect that the author names cannot set the code, or is no fault of the drawn circuit."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.circuit.suspects import meant
from authorkit.model.specification import Suspect
from authorkit.problems import Problem

RULE = "suspect-cannot-set"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each suspect with which no set condition is met, on the series where that is so."""
    for chapter in subject.book.chapters:
        for suspect in chapter.suspects:
            innocent = set[str]()
            for circuit in subject.circuits_of(chapter):
                if circuit.series and circuit.series not in subject.holds(suspect):
                    continue
                study = subject.study(circuit)
                faults = meant(suspect.fault, circuit.wiring, study.faults)
                if faults and chapter.sets_when and not any(study.may_set(fault.id) for fault in faults):
                    innocent.add(circuit.series)
            if innocent:
                yield _problem(str(chapter.code), suspect, subject.on_series(innocent))


def _problem(code: str, suspect: Suspect, where: str) -> Problem:
    return Problem(
        RULE,
        f"'{suspect.fault}' is listed as a cause, but the circuit with that fault does not set {code}{where}.",
        suspect.place,
        found=suspect.fault,
        expected=f"a fault that sets {code}",
        suggestion="Delete the suspect, or correct the set condition or the circuit.",
    )
