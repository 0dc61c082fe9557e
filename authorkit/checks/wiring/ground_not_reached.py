"""A ground point that no wire reaches, or a chapter whose circuit has no ground at all."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.problems import Problem

RULE = "ground-not-reached"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such ground point, and one for each such chapter."""
    harness = subject.harness
    for name, grounds in harness.grounds.items():
        point = Point(name)
        if point not in harness.wires and point not in harness.devices:
            yield Problem(
                RULE,
                f"No wire of the book ends at the ground point {name}.",
                grounds[0].place,
                found=f"{name} without a wire",
                expected="at least one wire",
                suggestion=f"Let a wire end at {name}, or delete the ground point.",
                also=tuple(ground.place for ground in grounds[1:]),
            )
    for chapter in subject.book.chapters:
        floating = {circuit.series for circuit in subject.circuits_of(chapter) if _floats(circuit)}
        if floating:
            yield _without_ground(chapter, floating, subject)


def _floats(circuit: ChapterCircuit) -> bool:
    """Whether a circuit has wires, not all of them high voltage (which is kept apart from ground), and no ground."""
    wires = circuit.wiring.wires
    is_low = any(end not in circuit.class_b for wire in wires for end in wire.ends)
    return is_low and not circuit.wiring.grounds


def _without_ground(chapter: Chapter, floating: set[str], subject: Subject) -> Problem:
    where = "" if floating == set(subject.series_of(chapter)) else subject.on_series(floating)
    return Problem(
        RULE,
        f"The circuit of {chapter.code} reaches no ground point{where}.",
        chapter.place_of("circuit"),
        found="no ground point",
        expected="a path to a ground point",
        suggestion="Add the ground wire, or the way through the module: {module-ground: CAVITY, through: CAVITY}.",
    )
