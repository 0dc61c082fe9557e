"""An ohmmeter or a test lamp is put on a restraint circuit, which its current can fire."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.safety.wired import reached_by_wire
from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.specification import State
from authorkit.model.wiring import Limited
from authorkit.problems import Place, Problem

RULE = "restraint-ohms"

AIRBAG = "airbag"

# Instruments that drive a current of their own, or the battery's, through what they measure.
_DRIVING = frozenset({"ohms", "lamp", "insulation"})


@dataclass(frozen=True)
class _Measurement:
    """One use of such an instrument."""

    what: str
    points: tuple[Point, ...]
    state: State | None
    fact: Limited
    place: Place


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step or spec that does so.

    It may be put on the wires of such a part only while the connector at the part is unplugged, and never on the part.
    """
    restraints = {name for name, part in subject.harness.whole_parts.items() if AIRBAG in part.hazards}
    if not restraints:
        return
    for chapter in subject.book.chapters:
        for measurement in _measurements(chapter):
            found = next(_fires(measurement, chapter, restraints, subject), None)
            if found is not None:
                yield _problem(measurement, *found)


def _measurements(chapter: Chapter) -> Iterator[_Measurement]:
    for spec in chapter.specs:
        if spec.instrument in _DRIVING:
            points = (spec.at,) if spec.to is None else (spec.at, spec.to)
            yield _Measurement(f"The {spec.instrument} spec", points, spec.state, spec, spec.place)
    for step in chapter.steps:
        if step.test is not None and step.test.kind in _DRIVING:
            place = chapter.place_of(f"procedure.{step.number}.{step.test.kind}")
            what = f"Step {step.number} ({step.test.kind})"
            yield _Measurement(what, step.test.points, step.state, step, place)


def _fires(
    measurement: _Measurement, chapter: Chapter, restraints: set[str], subject: Subject
) -> Iterator[tuple[Point, str]]:
    """The points that are at, or wired to, a part that can fire, with the part."""
    for circuit in subject.circuits_of(chapter):
        if circuit.series in subject.holds(measurement.fact):
            for point in measurement.points:
                part = _restraint_at(point, measurement.state, circuit, restraints)
                if part is not None:
                    yield point, part


def _restraint_at(point: Point, state: State | None, circuit: ChapterCircuit, restraints: set[str]) -> str | None:
    owners = {connector.id: connector.part for connector in circuit.wiring.connectors}
    own = owners.get(point.owner)
    if own in restraints:
        return own
    unplugged = set(state.unplugged) if state is not None else set()
    for reached in reached_by_wire(point, circuit.wiring):
        part = owners.get(reached.owner, "")
        if part in restraints and not unplugged & {reached.owner, part}:
            return part
    return None


def _problem(measurement: _Measurement, point: Point, part: str) -> Problem:
    return Problem(
        RULE,
        f"{measurement.what} puts a current through {point}, which leads to the restraint part {part}: it can fire.",
        measurement.place,
        found=f"{point} at {part}",
        expected="a voltmeter, the scan tool, or a test load in place of the part",
        suggestion=f"Unplug {part} and measure the wires only, or put a test load there and read the scan tool.",
    )
