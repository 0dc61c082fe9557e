"""A title says something else than the standard says of this code."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.codes.mentions import Mention, mentions
from authorkit.checks.subject import Subject
from authorkit.model.generic_titles import GENERIC_TITLES, TITLE_TRUST, contradicts
from authorkit.model.title_words import read_title
from authorkit.problems import Problem

RULE = "code-title-contradicts"

_TRUST = {
    "two sources": "as two public lists agree",
    "one source": "as one public list has it",
    "memory": "from memory; look it up in SAE J2012-DA",
}


def check(subject: Subject) -> Iterator[Problem]:
    """Titles of chapters and of the code list."""
    for mention in mentions(subject):
        standard = contradicts(str(mention.code), mention.title) if mention.title else None
        if standard is not None:
            yield _problem(mention, standard)


def _problem(mention: Mention, standard: str) -> Problem:
    base = mention.code.text
    other = _code_of(mention.title)
    advice = f"That is the title of {other}." if other else "If the title is right, the code is not."
    return Problem(
        RULE,
        f"The title of {mention.code} contradicts the standard, which has '{standard}'.",
        mention.title_place,
        found=mention.title,
        expected=f"the meaning of '{standard}' ({_TRUST[TITLE_TRUST[base]]})",
        suggestion=f"Correct the title or the code. {advice}",
        also=(mention.place,) if mention.place != mention.title_place else (),
    )


def _code_of(title: str) -> str | None:
    """The code whose standard title this is."""
    said = read_title(title)
    return next((code for code, standard in GENERIC_TITLES.items() if said.repeats(read_title(standard))), None)
