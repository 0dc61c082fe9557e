"""A meter is put to a point that nothing drives: what it shows is chance."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.computed import answered_specs, answered_steps, once_a_fact
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "reading-floats"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each spec and each step that measures a floating point on a sound vehicle."""
    asked = (each for answers in (answered_specs, answered_steps) for each in answers(subject))
    for each, series in once_a_fact(each for each in asked if each.reading.status == "floating"):
        yield Problem(
            RULE,
            f"{each.words} asks for {each.asked_words}, but nothing drives that point there"
            f"{subject.on_series(series)}.",
            each.fact.place,
            found=each.question[0],
            expected="a state in which a source or a ground reaches the point",
            suggestion="Measure in another state, or plug in or command what drives the point.",
        )
