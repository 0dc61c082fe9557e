"""Nothing in the book leads to a chapter: no code list, no related codes, no reference in prose."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.reference import find_references
from authorkit.problems import Problem

RULE = "chapter-unreferenced"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such chapter. What a chapter says of itself does not count."""
    named = _named(subject)
    for chapter in subject.book.chapters:
        files = named.get(str(chapter.code), set()) | named.get(chapter.code.text, set())
        if not files - {chapter.file}:
            yield _problem(chapter)


def _named(subject: Subject) -> dict[str, set[str]]:
    """Each code that is named somewhere, and the files that name it."""
    named: dict[str, set[str]] = {}
    vehicle = subject.book.vehicle
    for row in vehicle.codes:
        named.setdefault(str(row.code), set()).add(vehicle.file)
    for chapter in subject.book.chapters:
        for code in chapter.related:
            named.setdefault(code, set()).add(chapter.file)
    for passage in subject.passages:
        if "{code:" in passage.text:
            for reference in find_references(passage.text):
                if reference.kind == "code":
                    named.setdefault(reference.target, set()).add(passage.place.file)
    return named


def _problem(chapter: Chapter) -> Problem:
    return Problem(
        RULE,
        f"Nothing leads to the chapter of {chapter.code}: no code list, no related codes and no reference name it.",
        chapter.place_of("code"),
        found=str(chapter.code),
        expected="a row in the code list",
        suggestion=f"Add '{chapter.code}: {{title: {chapter.title}, set-by: {chapter.set_by}}}' to 'codes' "
        "of the vehicle notebook.",
    )
