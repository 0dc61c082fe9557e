"""What a manual keeps from command to command, in its own folder, and the studies that are kept there."""

from __future__ import annotations

from concurrent.futures import Executor
from pathlib import Path

from authorkit.circuit.study import Studies
from authorkit.manual.telling import Tell, silent
from authorkit.model.book import Book
from authorkit.store import KeptFiles

OUT = Path("build") / "out"
CACHE = OUT / ".cache"

# What may be kept: so much, and so much more for each chapter.
_ROOM, _ROOM_FOR_CHAPTER = 200_000_000, 3_000_000


def kept_for(folder: Path, chapters: int = 0) -> KeptFiles:
    """Where a manual keeps what was worked out: in its own folder, below a limit that grows with the book."""
    return KeptFiles(folder / CACHE / "kept", _ROOM + _ROOM_FOR_CHAPTER * chapters)


def prepared_studies(book: Book, kept: KeptFiles, executor: Executor | None, tell: Tell = silent) -> Studies:
    """The studies of a book, made side by side where an executor is given."""
    studies = Studies(book, kept)
    if executor is not None:
        tell("circuits solved", 0, len(book.chapters))
        studies.prepare(executor)
    return studies
