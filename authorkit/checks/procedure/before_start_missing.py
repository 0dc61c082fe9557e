"""A chapter leaves open what must be ready before the first step."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.problems import Problem

RULE = "before-start-missing"

# Each key with an example; the headings of preliminary requirements in S1000D, where 'none' is said, not left out.
_EXAMPLES = {
    "conditions": "none",
    "tools": "[T1]",
    "parts": "none",
    "skill": "Technician",
    "time": "20 min",
}


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each chapter, naming everything that is not said."""
    for chapter in subject.book.chapters:
        missing = [name for name in _EXAMPLES if _is_missing(chapter, name)]
        if missing:
            said = ", ".join(f"{name}: {_EXAMPLES[name]}" for name in missing)
            yield Problem(
                RULE,
                f"The chapter of {chapter.code} does not say which {_words(missing)} must be ready before the start.",
                chapter.place_of("before-start"),
                found=f"no {', no '.join(missing)}",
                expected="all of conditions, tools, parts, skill and time; 'none' where there is none",
                suggestion=f"Add '{said}' to 'before-start'.",
            )


def _is_missing(chapter: Chapter, name: str) -> bool:
    """Whether nothing is said; what reading refused has its own finding."""
    return not getattr(chapter.before_start, name) and f"before-start.{name}" not in chapter.places


def _words(names: list[str]) -> str:
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last
