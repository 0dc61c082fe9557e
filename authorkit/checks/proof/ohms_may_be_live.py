"""An ohmmeter is put on a circuit that a fault keeps live."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.ohms_live import LIVE, live_steps
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.report import grouped
from authorkit.problems import Problem

RULE = "ohms-may-be-live"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step that a fault leads to and keeps live; an insulation tester warns by itself."""
    yield from live_steps(subject, RULE, _live)


def _live(proof: Proof) -> Iterator[tuple[str, str]]:
    for number, step in proof.steps.items():
        if step.test is None or step.test.kind != "ohms":
            continue
        for question in proof.procedure.answers.questions(step):
            sound = proof.study.reading(question)
            for fault in proof.arrivals.get(number, ()) if sound is not None and sound.status != LIVE else ():
                reading = proof.study.reading(question, fault.id)
                if reading is not None and reading.status == LIVE:
                    yield number, grouped([fault], proof)[0]
