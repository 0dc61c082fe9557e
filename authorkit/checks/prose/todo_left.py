"""A note of the author's to himself is left in the text."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "todo-left"

MARKERS = ("TODO", "FIXME", "TBD")
# Capitals alone, or any writing of 'to-do:'; 'to-do' without a colon is an ordinary word.
_MARKER = re.compile(rf"(?<!\w)(?:(?:{'|'.join(MARKERS)})(?!\w)|(?i:to-?do)\s?:)")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each marker, in prose and in facts."""
    for passage in subject.passages:
        for match in _MARKER.finditer(passage.text):
            line = passage.text[match.start() :].split("\n")[0].strip()
            yield Problem(
                RULE,
                f"The text still holds a note of yours: '{_short(line)}'.",
                passage.at(match.start()),
                found=match.group(),
                expected="text for the reader only",
                suggestion="Do it, or move the note to where no reader sees it, such as a raw cell.",
            )


def _short(line: str) -> str:
    return line if len(line) <= 60 else f"{line[:60]}…"
