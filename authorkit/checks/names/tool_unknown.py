"""A chapter or the high-voltage entry asks for a tool that the vehicle notebook does not list."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.problems import Place, Problem

RULE = "tool-unknown"

# An author writes it out where no tool is needed.
_NO_TOOL = "none"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such mention."""
    known = {tool.id for tool in subject.book.vehicle.tools}
    for name, place in _mentions(subject):
        if name and name != _NO_TOOL and name not in known:
            yield Problem(
                RULE,
                f"The vehicle notebook lists no tool '{name}'.",
                place,
                found=name,
                expected=listed(sorted(known)),
                suggestion=nearest(name, known, f"Add '{name}' to 'tools' in the vehicle notebook."),
            )


def _mentions(subject: Subject) -> Iterator[tuple[str, Place]]:
    for chapter in subject.book.chapters:
        for name in chapter.before_start.tools:
            yield name, chapter.place_of("before-start.tools")
        for step in chapter.steps:
            for name in step.tools:
                yield name, chapter.place_of(f"procedure.{step.number}.tools")
    for entry in subject.book.vehicle.high_voltage:
        yield entry.tool, entry.place
