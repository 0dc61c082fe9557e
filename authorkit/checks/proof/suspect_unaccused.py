"""A suspect of the page can set the code, but no way of the procedure accuses it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.suspicion import faults_named
from authorkit.diagnosis.walk import RIGHT
from authorkit.model.chapter import Chapter
from authorkit.model.specification import Suspect
from authorkit.problems import Problem

RULE = "suspect-unaccused"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each suspect; one that cannot set the code has a rule of its own."""
    for chapter in subject.book.chapters:
        proofs = tuple(subject.proofs_of(chapter))
        for suspect in chapter.suspects:
            held = [proof for proof in proofs if proof.series in subject.holds(suspect)]
            told = [_told(suspect, proof) for proof in held]
            if told and all(told):
                yield _problem(chapter, suspect, told[0])


def _told(suspect: Suspect, proof: Proof) -> str:
    """What is wrong with a suspect on one series; '' for nothing."""
    meant = {fault.id for fault in faults_named(suspect.fault, proof.study.faults, proof.blame)}
    walks = [walk for walk in proof.walks if walk.fault.id in meant]
    if not meant or any(ending.outcome == RIGHT for walk in walks for ending in walk.endings):
        return ""
    return "no verdict of the procedure accuses it" if walks else ""


def _problem(chapter: Chapter, suspect: Suspect, told: str) -> Problem:
    return Problem(
        RULE,
        f"The suspect '{suspect.fault}' of {chapter.code} leads nowhere: {told}.",
        suspect.place,
        found=suspect.fault,
        expected="a verdict that accuses it",
        suggestion="Add a test that finds it, or take it from the suspects.",
    )
