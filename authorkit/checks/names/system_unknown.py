"""A chapter belongs to a system that the vehicle notebook does not list."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "system-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such chapter."""
    systems = subject.book.vehicle.systems
    for chapter in subject.book.chapters:
        if chapter.system and chapter.system not in systems:
            yield Problem(
                RULE,
                f"The code {chapter.code} belongs to the system '{chapter.system}', which the vehicle notebook does "
                f"not list.",
                chapter.place_of("system"),
                found=chapter.system,
                expected=listed(systems),
                suggestion=nearest(chapter.system, systems, f"Add '{chapter.system}' to 'systems'."),
            )
