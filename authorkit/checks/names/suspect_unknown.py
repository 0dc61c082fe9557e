"""A suspect names no known kind of fault, or no thing of the chapter's circuit."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import nearest
from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.circuit.harness import fuse_id
from authorkit.circuit.suspects import SUSPECT, SUSPICIONS
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point, parse_point
from authorkit.model.specification import Suspect
from authorkit.problems import Problem

RULE = "suspect-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each suspect that cannot be understood, or that names something the circuit does not have."""
    for chapter in subject.book.chapters:
        names = {circuit.series: _names(circuit) for circuit in subject.circuits_of(chapter)}
        for suspect in chapter.suspects:
            known = frozenset[str]().union(*(names[held] for held in subject.holds(suspect) if held in names))
            yield from _of_suspect(chapter, suspect, known)


def _names(circuit: ChapterCircuit) -> frozenset[str]:
    """Everything in a circuit that a fault can name."""
    wiring = circuit.wiring
    names = {str(point) for point in circuit.points} | {point.owner for point in circuit.points}
    names |= {wire.circuit for wire in wiring.wires}
    names |= {record.id for records in (wiring.parts, wiring.connectors) for record in records}
    names |= {device.name for device in wiring.devices if device.name}
    names |= {fuse_id(device) for device in wiring.devices if device.kind == "fuse"}
    return frozenset(names)


def _of_suspect(chapter: Chapter, suspect: Suspect, known: frozenset[str]) -> Iterator[Problem]:
    found = SUSPECT.fullmatch(suspect.fault.strip())
    if found is None:
        yield _no_fault(suspect)
        return
    words = found["thing"].split()
    things = [word for word in words if _is_known(word, known)]
    if not things:
        yield _no_thing(chapter, suspect, words[-1], known)
    for name in (found["other"], found["point"]):
        if name is not None and name not in ("ground", "battery") and not _is_known(name, known):
            yield _no_thing(chapter, suspect, name, known)


def _is_known(word: str, known: frozenset[str]) -> bool:
    if word in known:
        return True
    point = parse_point(word)
    return point.is_cavity and str(Point(point.owner, point.cavity)) in known


def _no_fault(suspect: Suspect) -> Problem:
    first = suspect.fault.split()[0] if suspect.fault.split() else ""
    return Problem(
        RULE,
        f"The suspect '{suspect.fault}' is no fault of a thing, such as 'open K131 at X12'.",
        suspect.place,
        found=suspect.fault,
        expected=f"one of {', '.join(SUSPICIONS)}, then the name of a thing",
        suggestion=nearest(
            first, (fault.split()[0] for fault in SUSPICIONS), "Begin with what is wrong, then the thing."
        ),
    )


def _no_thing(chapter: Chapter, suspect: Suspect, name: str, known: frozenset[str]) -> Problem:
    return Problem(
        RULE,
        f"The suspect '{suspect.fault}' names '{name}', which is not in the circuit of {chapter.code}.",
        suspect.place,
        found=name,
        expected="a circuit name, part, connector, cavity, splice, ground point or fuse of this chapter",
        suggestion=nearest(name, known, "Correct the name, or add the thing to the circuit."),
    )
