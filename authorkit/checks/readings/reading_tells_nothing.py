"""No single fault takes a reading out of its spec: measuring it tells nothing."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.computed import Answered, answered_specs, once_a_fact
from authorkit.checks.subject import Subject
from authorkit.circuit.readings import inside
from authorkit.model.specification import Spec
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "reading-tells-nothing"

_BROKEN = ("outside", "straddles")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each spec that holds with every fault of the circuit on every series."""
    told = {id(each.fact) for each in answered_specs(subject) if _tells(each)}
    for each, series in once_a_fact(each for each in answered_specs(subject) if id(each.fact) not in told):
        assert isinstance(each.fact, Spec)
        yield Problem(
            RULE,
            f"{each.words} holds with each of the {len(each.study.faults)} faults of the circuit"
            f"{subject.on_series(series)}, so {each.asked_words} cannot tell good from bad.",
            each.fact.place,
            found=as_typed(each.fact.reads),
            expected="limits that some fault of the circuit breaks",
            suggestion="Narrow the spec, or measure at another point or in another state.",
        )


def _tells(each: Answered) -> bool:
    """Whether some fault takes the reading out of the spec, or there is nothing to compare."""
    assert isinstance(each.fact, Spec)
    if inside(each.reading, each.fact.reads) != "inside":
        return True
    readings = (each.study.reading(each.question, fault.id) for fault in each.study.faults)
    return any(reading is not None and inside(reading, each.fact.reads) in _BROKEN for reading in readings)
