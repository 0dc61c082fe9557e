"""An ohmmeter is put to a circuit that is live: it shows nonsense, or is damaged."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.computed import answered_specs, answered_steps, once_a_fact
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "ohms-on-live-circuit"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each spec and each step that puts an ohmmeter or insulation tester to a live circuit."""
    asked = (each for answers in (answered_specs, answered_steps) for each in answers(subject))
    for each, series in once_a_fact(each for each in asked if each.reading.status == "live circuit"):
        yield Problem(
            RULE,
            f"{each.words} asks for {each.asked_words}, but there is voltage between these points"
            f"{subject.on_series(series)}.",
            each.fact.place,
            found=each.question[0],
            expected="a state without power at both points",
            suggestion="Switch the key off, unplug the connector or pull the fuse that feeds the circuit, in the state "
            "and in the words of the step.",
        )
