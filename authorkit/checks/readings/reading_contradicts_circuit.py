"""A spec says what a sound vehicle of this circuit cannot read."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.computed import Answered, answered_specs, given_words, once_a_fact
from authorkit.checks.subject import Subject
from authorkit.circuit.readings import inside
from authorkit.model.specification import Spec
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "reading-contradicts-circuit"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each spec that no sound vehicle meets."""
    wrong = (each for each in answered_specs(subject) if _is_wrong(each))
    for each, series in once_a_fact(wrong):
        assert isinstance(each.fact, Spec)
        given = given_words(each.reading)
        yield Problem(
            RULE,
            f"{each.words} says {as_typed(each.fact.reads)}, but the circuit gives {given} for {each.asked_words}"
            f"{subject.on_series(series)}.",
            each.fact.place,
            found=as_typed(each.fact.reads),
            expected=given,
            suggestion="Correct the spec, or the device, wire or state that the reading comes from.",
        )


def _is_wrong(each: Answered) -> bool:
    return isinstance(each.fact, Spec) and inside(each.reading, each.fact.reads) == "outside"
