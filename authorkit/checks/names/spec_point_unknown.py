"""A spec, a step or a waveform is measured at a point that the chapter's circuit does not have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.names.states import states_of
from authorkit.checks.nearest import nearest
from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.wiring import Limited
from authorkit.problems import Place, Problem

RULE = "spec-point-unknown"


@dataclass(frozen=True)
class _Measured:
    """One use of a point: in words what for, and the fact that limits it to some series."""

    what: str
    point: Point
    fact: Limited
    place: Place


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such point of each spec, step, waveform and jumper wire."""
    for chapter in subject.book.chapters:
        circuits = {circuit.series: circuit for circuit in subject.circuits_of(chapter)}
        for measured in _measured(chapter):
            absent = {
                series
                for series in subject.holds(measured.fact)
                if series in circuits and measured.point not in circuits[series].points
            }
            if absent:
                yield _problem(chapter, measured, [circuits[series] for series in sorted(absent)], subject)


def _measured(chapter: Chapter) -> Iterator[_Measured]:
    for spec in chapter.specs:
        for point in _points(spec.at, spec.to):
            yield _Measured(f"The {spec.instrument} spec", point, spec, spec.place)
    for wave in chapter.waveforms:
        for point in _points(wave.at, wave.to):
            yield _Measured(f"The waveform '{wave.name}'", point, wave, wave.place)
    for step in chapter.steps:
        for point in dict.fromkeys(step.test.points if step.test else ()):
            place = chapter.place_of(f"procedure.{step.number}.{step.test.kind if step.test else ''}")
            yield _Measured(f"Step {step.number}", point, step, place)
    for state in states_of(chapter):
        for point in dict.fromkeys(point for pair in state.jumpers for point in pair):
            yield _Measured("The jumper wire", point, state, state.place)


def _points(at: Point, to: Point | None) -> tuple[Point, ...]:
    return (at,) if to is None or to == at else (at, to)


def _problem(chapter: Chapter, measured: _Measured, circuits: list[ChapterCircuit], subject: Subject) -> Problem:
    point = measured.point
    absent = {circuit.series for circuit in circuits}
    where = "" if absent == set(subject.series_of(chapter)) else subject.on_series(absent)
    if subject.harness.is_known(point):
        otherwise = f"'{point}' is known elsewhere in the book: add the wire that leads there to this circuit."
    else:
        otherwise = "Nothing in the book has this name: correct the point."
    verb = "joins" if measured.what.startswith("The jumper") else "is measured at"
    return Problem(
        RULE,
        f"{measured.what} {verb} '{point}', which is not in the circuit of {chapter.code}{where}.",
        measured.place,
        found=str(point),
        expected="a cavity, splice, ground point or feed of this chapter's circuit",
        suggestion=nearest(str(point), (str(other) for other in circuits[0].points), otherwise)
        if not subject.harness.is_known(point)
        else otherwise,
    )
