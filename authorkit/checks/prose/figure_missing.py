"""A figure names a file that is not below figures/."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.prose.figure_files import figure_files
from authorkit.checks.prose.file_missing import missing_file
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "figure-missing"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such figure."""
    folder = subject.book.folder
    files = set(figure_files(folder))
    for chapter in subject.book.chapters:
        for number, figure in enumerate(chapter.figures, 1):
            place = chapter.places.get(f"figures.{number}.file", figure.place)
            problem = missing_file(RULE, figure.file, place, (folder, files))
            if problem is not None:
                yield problem
