"""A sentence of a step, a repair, a caution or a description has more words than a reader keeps in mind."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.language.sentences import Sentence, lengths, sentences, shortened
from authorkit.checks.passage import Passage
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "sentence-long"

# ASD-STE100, rules 5.1 (procedures) and 6.3 (descriptions).
MOST_IN_STEPS, MOST_IN_DESCRIPTIONS = 20, 25


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such sentence."""
    for passage in subject.passages:
        yield from problems_of(passage)


def problems_of(passage: Passage) -> Iterator[Problem]:
    """The findings of one passage."""
    for sentence in sentences(passage):
        most = MOST_IN_DESCRIPTIONS if sentence.kind == "description" else MOST_IN_STEPS
        count = max(lengths(sentence.text))
        if count > most:
            yield _problem(sentence, count, most)


def _problem(sentence: Sentence, count: int, most: int) -> Problem:
    return Problem(
        RULE,
        f"The sentence '{shortened(sentence.text)}' has {count} words.",
        sentence.place,
        found=f"{count} words",
        expected=f"at most {most} words",
        suggestion="Make two sentences of it, or leave out what the page says elsewhere.",
    )
