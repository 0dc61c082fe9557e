"""Who defines the code by its number is not who defines it by the chapter."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.problems import Problem

RULE = "code-range-contradicts"

_MAKER = re.compile(r"\b(?:makers?|manufacturers?|OEM)\b", re.IGNORECASE)
_STANDARD = re.compile(r"\b(?:ISO|SAE|J2012|15031|standards?)\b", re.IGNORECASE)


def check(subject: Subject) -> Iterator[Problem]:
    """A maker's code without the source of its meaning; a standard code that is said to be the maker's."""
    for chapter in subject.book.chapters:
        owner, source = chapter.code.owner, chapter.meaning_source
        if owner == "manufacturer" and not source and "meaning-source" not in chapter.places:
            yield _unsourced(chapter)
        elif owner == "iso-sae" and _MAKER.search(source) and not _STANDARD.search(source):
            yield _not_the_makers(chapter)


def _unsourced(chapter: Chapter) -> Problem:
    return Problem(
        RULE,
        f"{chapter.code.owner_sentence} This chapter does not say who gives it this one.",
        chapter.place_of("code"),
        found=f"{chapter.code} without 'meaning-source'",
        expected="'meaning-source' with whoever defines the code",
        suggestion="Add 'meaning-source: Vehicle maker', or better the document that says so.",
    )


def _not_the_makers(chapter: Chapter) -> Problem:
    return Problem(
        RULE,
        f"{chapter.code.owner_sentence} This chapter says that '{chapter.meaning_source}' defines it.",
        chapter.place_of("meaning-source"),
        found=chapter.meaning_source,
        expected="no 'meaning-source', or the standard (SAE J2012, ISO 15031-6)",
        suggestion="Delete 'meaning-source', or correct the code.",
        also=(chapter.place_of("code"),),
    )
