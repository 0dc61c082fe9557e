"""A verdict accuses something that the circuit does not have."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import nearest
from authorkit.checks.procedure.accused import accusable
from authorkit.checks.procedure.paths import reached_series
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Step
from authorkit.problems import Problem

RULE = "verdict-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each name, on the series where a technician can arrive at the verdict."""
    for chapter in subject.book.chapters:
        circuits = {circuit.series: accusable(circuit) for circuit in subject.circuits_of(chapter)}
        known = frozenset[str]().union(*(circuit.names for circuit in circuits.values()))
        arrived = reached_series(chapter, subject)
        for step in chapter.steps:
            held = arrived[step.number] or subject.holds(step)
            for number, name in enumerate(step.verdict, 1):
                missing = {series for series in held if not circuits[series].holds(name)}
                if missing:
                    where = "" if missing == held else subject.on_series(missing)
                    advice = nearest(name, known, "Name what is at fault as the circuit names it.")
                    yield _problem(chapter, step, number, (where, advice))


def _problem(chapter: Chapter, step: Step, number: int, words: tuple[str, str]) -> Problem:
    where, advice = words
    name = step.verdict[number - 1]
    return Problem(
        RULE,
        f"Step {step.number} accuses '{name}', which the circuit of {chapter.code} does not have{where}.",
        chapter.place_of(f"procedure.{step.number}.verdict.{number}"),
        found=name,
        expected="a part, circuit, ground, fuse, splice, connector or cavity of the circuit, or 'K131 at X12'",
        suggestion=advice,
    )
