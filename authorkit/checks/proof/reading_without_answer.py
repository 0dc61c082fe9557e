"""A meter can read what no answer of the step holds."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.readout import reading_in_words
from authorkit.diagnosis.report import grouped
from authorkit.problems import Problem

RULE = "reading-without-answer"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such step, with the faults that lead there and what the meter reads under each."""
    for chapter, number, entry, where in gathered(subject, _missed):
        step = chapter.step(number)
        assert step is not None  # it comes from the walks
        yield Problem(
            RULE,
            f"In step {number} some readings lie in no answer{where}: {entry.listed()}.",
            chapter.place_of(f"procedure.{number}.then"),
            found="the answers " + ", ".join(f"'{branch.answer}'" for branch in step.branches),
            expected="an answer for every reading",
            suggestion="Add 'else: STEP' to 'then'.",
        )


def _missed(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, faults in proof.arrivals.items():
        step = proof.steps.get(number)
        for fault in faults if step is not None and not step.is_end else ():
            answer = proof.procedure.answers.of(proof.steps[number], fault.id)
            if answer.missed and answer.reading is not None:
                yield number, f"{grouped([fault], proof)[0]} ({reading_in_words(answer.reading)})"
