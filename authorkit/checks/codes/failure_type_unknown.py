"""A failure type byte has no meaning in the table."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.codes.mentions import Mention, mentions
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.failure_type import failure_type_category, failure_type_meaning
from authorkit.problems import Problem

RULE = "failure-type-unknown"

_MAKERS_OWN = 0xF


def check(subject: Subject) -> Iterator[Problem]:
    """Codes of chapters and of the code list; a maker's own failure type is fine where its source is named."""
    for mention in mentions(subject):
        value = mention.code.failure_type
        if value is not None and failure_type_meaning(value) is None and not _is_sourced(mention, value):
            yield _problem(mention, value)


def _is_sourced(mention: Mention, value: int) -> bool:
    return value >> 4 == _MAKERS_OWN and isinstance(mention.fact, Chapter) and bool(mention.fact.meaning_source)


def _problem(mention: Mention, value: int) -> Problem:
    own = value >> 4 == _MAKERS_OWN
    return Problem(
        RULE,
        f"The failure type {value:02X} of {mention.code} has no meaning in the table (category: "
        f"{failure_type_category(value)}).",
        mention.place,
        found=f"{value:02X}",
        expected="a failure type byte of SAE J2012-DA",
        suggestion="Add 'meaning-source' with the document that defines it."
        if own and isinstance(mention.fact, Chapter)
        else f"Correct it, or write the code as {mention.code.text} without a failure type.",
    )
