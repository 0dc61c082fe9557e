"""A waveform names a capture that is not below figures/."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.prose.figure_files import figure_files
from authorkit.checks.prose.file_missing import missing_file
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "capture-missing"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such waveform."""
    folder = subject.book.folder
    files = set(figure_files(folder))
    for chapter in subject.book.chapters:
        for number, waveform in enumerate(chapter.waveforms, 1):
            if waveform.capture:
                place = chapter.places.get(f"waveforms.{number}.capture", waveform.place)
                problem = missing_file(RULE, waveform.capture, place, (folder, files))
                if problem is not None:
                    yield problem
