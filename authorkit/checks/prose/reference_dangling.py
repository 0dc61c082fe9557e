"""A live reference points at something that does not exist."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.passage import Passage
from authorkit.checks.prose.live_references import live_references
from authorkit.checks.slip import slip_of
from authorkit.checks.subject import Subject
from authorkit.model.reference import REFERENCE_KINDS, Reference
from authorkit.problems import Problem

RULE = "reference-dangling"

# Kinds whose targets belong to a chapter.
_OF_CHAPTERS = ("figure", "step", "reading", "section")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such reference, in prose and in facts."""
    for passage in subject.passages:
        for reference in live_references(passage):
            if reference.kind in REFERENCE_KINDS and not _is_found(reference, passage, subject):
                yield _problem(reference, passage, subject)


def _is_found(reference: Reference, passage: Passage, subject: Subject) -> bool:
    return subject.names.find(reference.kind, reference.target, passage.chapter) is not None


def _problem(reference: Reference, passage: Passage, subject: Subject) -> Problem:
    kind, target = reference.kind, reference.target
    known = subject.names.known(kind, passage.chapter)
    near = slip_of(target, known) or subject.names.near(kind, target, passage.chapter)
    lost = passage.chapter is None and kind in _OF_CHAPTERS
    where = ", because this page is no chapter" if lost else ""
    return Problem(
        RULE,
        f"The reference '{{{kind}:{target}}}' points at nothing: there is no {kind} '{target}'{where}.",
        passage.at(reference.start),
        found=target,
        expected=REFERENCE_KINDS[kind],
        suggestion=f"Did you mean '{{{kind}:{near}}}'?" if near else _advice(kind, target),
    )


def _advice(kind: str, target: str) -> str:
    if kind in _OF_CHAPTERS:
        return f"Correct '{target}', or add it to the facts of the chapter."
    return f"Correct '{target}', or declare it in the vehicle notebook."
