"""A spec is tighter than the tolerances of the circuit allow: a sound vehicle may fail it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.computed import Answered, answered_specs, given_words, once_a_fact
from authorkit.checks.subject import Subject
from authorkit.circuit.readings import inside
from authorkit.model.specification import Spec
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "reading-too-tight"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each spec that only a part of all sound vehicles meets."""
    tight = (each for each in answered_specs(subject) if _is_tight(each))
    for each, series in once_a_fact(tight):
        assert isinstance(each.fact, Spec)
        given = given_words(each.reading)
        yield Problem(
            RULE,
            f"{each.words} says {as_typed(each.fact.reads)}, but sound vehicles read {given} for {each.asked_words}"
            f"{subject.on_series(series)}.",
            each.fact.place,
            found=as_typed(each.fact.reads),
            expected=f"limits that hold {given}",
            suggestion="Widen the spec, or give the devices, the battery or the state the tolerance that they have.",
        )


def _is_tight(each: Answered) -> bool:
    return isinstance(each.fact, Spec) and inside(each.reading, each.fact.reads) == "straddles"
