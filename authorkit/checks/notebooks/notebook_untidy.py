"""A notebook holds stored outputs, counts of runs, or the state of somebody's editor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from authorkit.checks.subject import Subject
from authorkit.facts.canonical import Untidy, read_json, told, untidy_things
from authorkit.facts.read_text import read_text
from authorkit.problems import Place, Problem

RULE = "notebook-untidy"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such notebook, at the first cell concerned. Damaged notebooks are told of by the reader."""
    book = subject.book
    files = [book.vehicle.file, *(chapter.file for chapter in book.chapters), *(page.file for page in book.front)]
    for file in files:
        text, _ = read_text(book.folder, file)
        data, _ = read_json(text, file) if text is not None else (None, ())
        things = list(untidy_things(data)) if data is not None else []
        if things:
            yield _untidy(file, things)


def _untidy(file: str, things: Sequence[Untidy]) -> Problem:
    return Problem(
        RULE,
        f"The notebook '{file}' holds {told(things)}.",
        Place(file, next((thing.cell for thing in things if thing.cell), 0)),
        found=told(things),
        expected="cells without traces of running them",
        suggestion=f"Run 'authorkit tidy {file}'.",
    )
