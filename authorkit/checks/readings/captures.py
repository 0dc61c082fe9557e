"""The captures that a book's waveforms name, found below figures/."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from authorkit.checks.prose.figure_files import FIGURES, figure_files, is_outside, normal
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.specification import Waveform
from authorkit.problems import Place

if TYPE_CHECKING:
    from authorkit.signals.summary import Summary


@dataclass(frozen=True)
class Captured:
    """A waveform with its capture: `file` is its path from the manual's folder, `place` where it is named.

    `path` is the prefix of the waveform's places ('waveforms.1').
    """

    chapter: Chapter
    waveform: Waveform
    file: str
    place: Place
    path: str


def captured(book: Book) -> Iterator[Captured]:
    """Every waveform whose capture lies below figures/; the others are another rule's business."""
    files: set[str] | None = None
    for chapter in book.chapters:
        for number, waveform in enumerate(chapter.waveforms, 1):
            if not waveform.capture or is_outside(book.folder, waveform.capture):
                continue
            files = set(figure_files(book.folder)) if files is None else files
            name = normal(waveform.capture)
            if name in files:
                path = f"waveforms.{number}"
                place = chapter.places.get(f"{path}.capture", waveform.place)
                yield Captured(chapter, waveform, f"{FIGURES}/{name}", place, path)


def summary(folder: Path, file: str, channels: tuple[str, ...]) -> Summary | None:
    """The summary of a capture, or of its named channels; None if it cannot be opened."""
    # Here, so that a book without captures is checked without loading the library for numbers.
    from authorkit.signals.summary import summary_of

    try:
        return summary_of(folder / file, channels)
    except OSError:
        return None
