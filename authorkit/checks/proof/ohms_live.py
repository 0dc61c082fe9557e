"""An ohmmeter is put on a circuit that is live on a sound vehicle."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import Gathered, Telling, gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.model.chapter import Chapter
from authorkit.problems import Problem

RULE = "ohms-live"

LIVE = "live circuit"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step that measures resistance where the computed circuit is live without any fault."""
    yield from live_steps(subject, RULE, _live)


def live_steps(subject: Subject, rule: str, tell: Telling) -> Iterator[Problem]:
    """The findings about the steps that `tell` names."""
    for chapter, number, entry, where in gathered(subject, tell):
        yield _problem(rule, chapter, (number, where), entry)


def _problem(rule: str, chapter: Chapter, at: tuple[str, str], entry: Gathered) -> Problem:
    number, where = at
    return Problem(
        rule,
        f"Step {number} measures resistance on a live circuit{where}: {entry.listed()}.",
        chapter.place_of(f"procedure.{number}.state"),
        found="a voltage between the points of the ohmmeter",
        expected="no voltage there",
        suggestion="Switch the key off, unplug what feeds the circuit, or test for voltage before this step.",
    )


def _live(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, step in proof.steps.items():
        readings = (proof.study.reading(question) for question in proof.procedure.answers.questions(step))
        if any(reading is not None and reading.status == LIVE for reading in readings):
            yield number, "on a sound vehicle"
