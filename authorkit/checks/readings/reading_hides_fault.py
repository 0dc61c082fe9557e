"""A spec is so wide that a fault with a reading of its own passes for sound."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.computed import Answered, answered_specs, given_words, once_a_fact
from authorkit.checks.subject import Subject
from authorkit.circuit.faults import Fault
from authorkit.circuit.readings import Reading, inside
from authorkit.model.specification import Spec
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "reading-hides-fault"

_NAMED = 2


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each spec: of the faults that set the code, those it calls sound though they read differently.

    A spec with a source of its own is the author's rule, not a description of this circuit.
    """
    wide = (each for each in answered_specs(subject) if isinstance(each.fact, Spec) and not each.fact.source)
    for each, series in once_a_fact(each for each in wide if _hidden(each)):
        assert isinstance(each.fact, Spec)
        hidden = _hidden(each)
        more = f" ({len(hidden) - _NAMED} more faults)" if len(hidden) > _NAMED else ""
        told = " ".join(f"{fault.sentence[:-1]}: {given_words(reading)}." for fault, reading in hidden[:_NAMED])
        given = given_words(each.reading)
        yield Problem(
            RULE,
            f"{each.words} calls {as_typed(each.fact.reads)} sound, and a fault that sets the code passes"
            f"{subject.on_series(series)}. {told[:-1]}{more}.",
            each.fact.place,
            found=as_typed(each.fact.reads),
            expected=f"limits nearer to {given}",
            suggestion="Narrow the spec to what sound vehicles read.",
        )


def _hidden(each: Answered) -> list[tuple[Fault, Reading]]:
    """Faults that set the code for certain, with readings inside the spec and wholly outside what is sound."""
    assert isinstance(each.fact, Spec)
    found = []
    for fault in each.study.faults:
        reading = each.study.reading(each.question, fault.id)
        if reading is None or inside(reading, each.fact.reads) != "inside" or not _apart(reading, each.reading):
            continue
        if any(setting.sets == "sets" for setting in each.study.settings[fault.id]):
            found.append((fault, reading))
    return found


def _apart(faulty: Reading, sound: Reading) -> bool:
    """Whether no value lies in both readings."""
    if faulty.low is None or faulty.high is None or sound.low is None or sound.high is None:
        return False
    return faulty.low > sound.high or faulty.high < sound.low
