"""A text uses a word that the glossary says to avoid: one thing, one name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from authorkit.checks.passage import Passage
from authorkit.checks.subject import Subject
from authorkit.model.vehicle import Term
from authorkit.problems import Problem

RULE = "term-avoided"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each use. Titles of codes follow the standard, and the glossary may name what it replaces."""
    terms = {_one_form(word): term for term in subject.book.vehicle.terms for word in term.avoid if word.strip()}
    if not terms:
        return
    pattern = _pattern(terms)
    for passage in subject.passages:
        if not _is_exempt(passage):
            for match in pattern.finditer(passage.words):
                yield _problem(passage, match, terms[_one_form(match.group(1))])


def _pattern(terms: Mapping[str, Term]) -> re.Pattern[str]:
    """Whole words, the longest first, in the plural too; a line may end between two words."""
    longest_first = sorted(terms, key=lambda word: (-len(word), word))
    words = "|".join(r"\s+".join(re.escape(part) for part in word.split()) for word in longest_first)
    return re.compile(rf"(?<![\w-])({words})(?:s|es)?(?![\w-])", re.IGNORECASE)


def _one_form(text: str) -> str:
    return " ".join(text.lower().split())


def _is_exempt(passage: Passage) -> bool:
    return passage.path.startswith("terms.") or passage.path.rpartition(".")[2] == "title"


def _problem(passage: Passage, match: re.Match[str], term: Term) -> Problem:
    typed = " ".join(match.group().split())
    return Problem(
        RULE,
        f"The text says '{typed}', which the glossary avoids: the word of this manual is '{term.word}'.",
        passage.at(match.start()),
        found=typed,
        expected=term.word,
        suggestion=f"Write '{term.word}'.",
        also=(term.place,),
    )
