"""Finding what a command names: a chapter, a series, a state, a fault; or the nearest name there is."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path

from authorkit.circuit.faults import Fault, find_fault
from authorkit.circuit.questions import study_states
from authorkit.circuit.readings import faults_in
from authorkit.commands.folder import add_folder_argument, manual_folder
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.specification import State
from authorkit.model.wiring import applies
from authorkit.problems.closest import closest


class NotFoundError(LookupError):
    """A name that the book does not know."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        """Name the culprit and the closest name."""
        listed = list(known)
        close = closest(name, listed, cutoff=0.4)
        hint = (
            f"did you mean '{close}'?" if close else f"known: {', '.join(listed[:12])}" if listed else "there is none"
        )
        super().__init__(f"there is no {kind} '{name}'; {hint}")


def add_code_argument(parser: argparse.ArgumentParser) -> None:
    """The trouble code, and where the manual is."""
    parser.add_argument("code", metavar="CODE", help="the trouble code of a chapter, such as P0118")
    add_folder_argument(parser)


def chosen_book(folder: Path | None) -> Book:
    """The book of a folder. Raises NotFoundError, and NoManualError where there is no manual."""
    book, problems = read_book(manual_folder(folder))
    if book is None:
        raise NotFoundError(
            "readable manual", str(folder or Path.cwd()), [str(problem.place) for problem in problems[:1]]
        )
    return book


def chosen_chapter(code: str, folder: Path | None) -> tuple[Book, Chapter]:
    """The book and the chapter of a code. Raises NotFoundError, and NoManualError where there is no manual."""
    book = chosen_book(folder)
    chapter = book.chapter(code)
    if chapter is None:
        raise NotFoundError("chapter", code, [str(each.code) for each in book.chapters])
    return book, chapter


def chosen_chapters(code: str | None, folder: Path | None) -> tuple[Book, tuple[Chapter, ...]]:
    """The book with the chapter of a code, or with all of them. Raises NotFoundError and NoManualError."""
    if code is not None:
        book, chapter = chosen_chapter(code, folder)
        return book, (chapter,)
    book = chosen_book(folder)
    return book, book.chapters


def chosen_series(book: Book, chapter: Chapter, series: str | None) -> tuple[str, ...]:
    """The series asked for, or all that the chapter holds for. Raises NotFoundError."""
    known = tuple(each for each in book.vehicle.series_ids or ("",) if applies(chapter.series, each))
    if series is None:
        return known
    if series not in known:
        raise NotFoundError("series", series, known)
    return (series,)


def chosen_states(chapter: Chapter, series: str, name: str | None) -> tuple[State, ...]:
    """The state asked for, or all of the chapter on this series. Raises NotFoundError."""
    known = study_states(chapter, series)
    if name is None:
        return tuple(known.values())
    if name not in known:
        raise NotFoundError("state", name, known)
    return (known[name],)


def chosen_fault(book: Book, chapter: Chapter, series: str, identity: str) -> Fault:
    """The fault of an id. Raises NotFoundError."""
    known = faults_in(book, chapter, series)
    fault = find_fault(known, identity)
    if fault is None:
        raise NotFoundError("fault", identity, [each.id for each in known])
    return fault


def say_not_found(error: NotFoundError) -> None:
    """Tell it where errors go."""
    print(f"authorkit: {error}", file=sys.stderr)
