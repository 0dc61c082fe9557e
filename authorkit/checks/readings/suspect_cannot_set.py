"""A suspect that the author names cannot set the code, or is no fault of the drawn circuit."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.circuit.suspects import SUSPECT, meant
from authorkit.model.specification import Suspect
from authorkit.problems import Problem

RULE = "suspect-cannot-set"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each suspect with which no set condition is met, on the series where that is so."""
    for chapter in subject.book.chapters:
        for suspect in chapter.suspects:
            found = set[bool]()
            innocent = set[str]()
            for circuit in subject.circuits_of(chapter):
                if circuit.series and circuit.series not in subject.holds(suspect):
                    continue
                study = subject.study(circuit)
                faults = meant(suspect.fault, study.faults)
                found.add(bool(faults))
                if faults and chapter.sets_when and not any(study.may_set(fault.id) for fault in faults):
                    innocent.add(circuit.series)
            if innocent:
                why = f"is listed as a cause, but the circuit with that fault does not set {chapter.code}"
                yield _problem(suspect, f"{why}{subject.on_series(innocent)}", f"a fault that sets {chapter.code}")
            elif found == {False} and SUSPECT.fullmatch(suspect.fault.strip()):
                why = f"is listed as a cause, but the circuit of {chapter.code} has no such fault"
                yield _problem(suspect, why, "a fault that 'authorkit faults' lists for this code")


def _problem(suspect: Suspect, why: str, expected: str) -> Problem:
    return Problem(
        RULE,
        f"'{suspect.fault}' {why}.",
        suspect.place,
        found=suspect.fault,
        expected=expected,
        suggestion="Delete the suspect, or correct it, the set condition or the circuit.",
    )
