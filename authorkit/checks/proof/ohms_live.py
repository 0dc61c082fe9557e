"""An ohmmeter is put on a live circuit."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.report import grouped
from authorkit.problems import Problem

RULE = "ohms-live"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step that measures ohms where the computed circuit is live, sound or with a fault.

    An insulation tester shows a foreign voltage by itself, so that it only counts where the sound circuit is live.
    """
    for chapter, number, entry, where in gathered(subject, _live):
        step = chapter.step(number)
        assert step is not None  # it comes from the chapter
        yield Problem(
            RULE,
            f"Step {number} measures resistance on a live circuit{where}: {entry.listed()}.",
            chapter.place_of(f"procedure.{number}.state"),
            found="a voltage between the points of the ohmmeter",
            expected="a state without voltage there",
            suggestion="Switch the key off, unplug what feeds the circuit, or test for voltage before this step.",
        )


def _live(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, step in proof.steps.items():
        for question in proof.procedure.answers.questions(step):
            sound = proof.study.reading(question)
            if sound is not None and sound.status == "live circuit":
                yield number, "on a sound vehicle"
                continue
            is_warned = step.test is not None and step.test.kind == "insulation"
            for fault in () if is_warned else proof.arrivals.get(number, ()):
                reading = proof.study.reading(question, fault.id)
                if reading is not None and reading.status == "live circuit":
                    yield number, grouped([fault], proof)[0]
