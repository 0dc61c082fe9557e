"""A path to be drawn in a heavy line names a circuit that the chapter's drawing does not show."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter, CircuitPath
from authorkit.problems import Problem

RULE = "path-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such name."""
    for chapter in subject.book.chapters:
        for number, path in enumerate(chapter.paths, 1):
            place = chapter.places.get(f"paths.{number}.circuits", path.place)
            drawn = _drawn(chapter, path, subject)
            for name in path.circuits:
                if name not in drawn:
                    yield Problem(
                        RULE,
                        f"Path '{path.id}': the circuit of this chapter has no wire '{name}'.",
                        place,
                        found=name,
                        expected=listed(sorted(drawn)),
                        suggestion=nearest(name, drawn, "Name the circuits of the wires along the path."),
                    )


def _drawn(chapter: Chapter, path: CircuitPath, subject: Subject) -> set[str]:
    """The circuits on any series on which the path holds."""
    series = subject.holds(path)
    found = (circuit for circuit in subject.circuits_of(chapter) if circuit.series in series)
    return {wire.circuit for circuit in found for wire in circuit.wiring.wires}
