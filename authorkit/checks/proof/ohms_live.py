"""An ohmmeter is put on a circuit that is live on a sound vehicle, by a step or by a spec."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import Gathered, Telling, gathered
from authorkit.checks.readings.computed import answered_specs, once_a_fact
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.model.chapter import Chapter
from authorkit.problems import Problem

RULE = "ohms-live"

LIVE = "live circuit"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step and each spec that measures resistance where the circuit is live without any fault."""
    yield from live_steps(subject, RULE, _live)
    asked = once_a_fact(each for each in answered_specs(subject) if each.reading.status == LIVE)
    for each, series in asked:
        yield Problem(
            RULE,
            f"{each.words} asks for {each.asked_words}, but there is voltage between these points"
            f"{subject.on_series(series)}.",
            each.fact.place,
            found="a voltage between the points of the ohmmeter",
            expected="no voltage there",
            suggestion="Name a state without power: the key off, the connector unplugged or the fuse pulled.",
        )


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
