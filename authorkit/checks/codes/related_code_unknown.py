"""A related code has neither a chapter nor a row in the code list."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from authorkit.checks.codes.mentions import mentions
from authorkit.checks.nearest import nearest
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.problems import Place, Problem

RULE = "related-code-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each item of 'related' that no series of the chapter knows."""
    known = _known(subject)
    for chapter in subject.book.chapters:
        for number, code in enumerate(chapter.related, 1):
            if not known.get(code, frozenset()) & subject.holds(chapter):
                yield _problem(code, chapter.place_of(f"related.{number}"), known, subject)


def _known(subject: Subject) -> Mapping[str, frozenset[str]]:
    """Every code of the book, and the series on which it exists."""
    known: dict[str, frozenset[str]] = defaultdict(frozenset)
    for mention in mentions(subject):
        held = subject.holds(mention.fact)
        known[str(mention.code)] |= held
        if isinstance(mention.fact, Chapter):
            known[mention.code.text] |= held
    return known


def _problem(code: str, place: Place, known: Mapping[str, frozenset[str]], subject: Subject) -> Problem:
    if code in known:
        message = f"The related code '{code}' exists only{subject.on_series(known[code])}, not on the series here."
        advice = "Delete it, or limit the chapter to the series that knows it."
    else:
        message = f"The related code '{code}' has no chapter and is not in the code list."
        advice = nearest(code, known, f"Add '{code}' to 'codes' of the vehicle notebook, or delete it here.")
    return Problem(
        RULE,
        message,
        place,
        found=code,
        expected="a code with a chapter or in the code list",
        suggestion=advice,
    )
