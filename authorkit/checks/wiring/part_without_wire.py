"""A part stands in a chapter's circuit, but no wire reaches it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.circuit.harness import device_points
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Part
from authorkit.problems import Problem

RULE = "part-without-wire"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such part of a chapter."""
    for chapter in subject.book.chapters:
        idle: dict[str, set[str]] = {}
        parts: dict[str, Part] = {}
        for circuit in subject.circuits_of(chapter):
            for part in _idle(circuit):
                parts.setdefault(part.id, part)
                idle.setdefault(part.id, set()).add(circuit.series)
        for name, part in parts.items():
            yield _problem(chapter, part, idle[name], subject)


def _idle(circuit: ChapterCircuit) -> Iterator[Part]:
    """Parts that no wire reaches, neither at a connector nor through a device that hangs on other parts."""
    wiring = circuit.wiring
    owners = {connector.id: connector.part for connector in wiring.connectors}
    live = {end for wire in wiring.wires for end in wire.ends}
    reached = {owners.get(point.owner, "") for point in live if point.is_cavity}
    supplies = {record.id for records in (wiring.feeds, wiring.grounds) for record in records}
    for device in wiring.devices:
        if any(point in live or point.owner in supplies for point in device_points(device)):
            reached.add(device.part)
    return (part for part in wiring.parts if part.id not in reached and part.kind != "tool")


def _problem(chapter: Chapter, part: Part, idle: set[str], subject: Subject) -> Problem:
    own = next((record for record in chapter.wiring.parts if record.id == part.id), None)
    place = own.place if own else chapter.place_of(f"circuit.parts.{part.id}")
    where = "" if idle == set(subject.series_of(chapter)) else subject.on_series(idle)
    name = f"{part.id} ({part.name})" if part.name else part.id
    return Problem(
        RULE,
        f"No wire reaches the part {name} in the circuit of {chapter.code}{where}.",
        place,
        found=f"{part.id} without a wire",
        expected="a wire to one of its cavities",
        suggestion=f"Add the wires of {part.id}, or leave it out of this chapter.",
    )
