"""A page does not say which edition it is, who wrote it, or how far it was tried out."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.chapter import VERIFIED, Chapter
from authorkit.problems import Problem

RULE = "revision-missing"

_EXAMPLES = {"number": "1", "date": "2026-10-05", "author": "YOUR NAME", "verified": VERIFIED[0]}
_QUESTIONS = {
    "number": "which edition the page is",
    "date": "when it was changed",
    "author": "who changed it",
    "verified": "how far it was tried out",
}


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each chapter, naming everything that is not said."""
    for chapter in subject.book.chapters:
        missing = [name for name in _EXAMPLES if _is_missing(chapter, name)]
        if missing:
            said = ", ".join(f"{name}: {_EXAMPLES[name]}" for name in missing)
            yield Problem(
                RULE,
                f"The revision of {chapter.code} does not say {', '.join(_QUESTIONS[name] for name in missing)}.",
                chapter.place_of("revision"),
                found=f"no {', no '.join(missing)}",
                expected=f"number, date, author, and verified as one of {', '.join(VERIFIED)}",
                suggestion=f"Add '{said}' to 'revision'.",
            )


def _is_missing(chapter: Chapter, name: str) -> bool:
    """Whether nothing is said; what reading refused has its own finding."""
    return not getattr(chapter.revision, name) and f"revision.{name}" not in chapter.places
