"""Whom a helper of a code cell asks: the manual around it, the chapter of its notebook; and how it says no."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

from authorkit.desk.book_state import BookState, manual_above, state_of
from authorkit.desk.located import file_of, origin_of
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import applies
from authorkit.problems.closest import closest


class AskError(Exception):
    """What was asked cannot be answered; the message is one sentence for the author."""

    def _render_traceback_(self) -> list[str]:
        """IPython's hook: the sentence alone, without the lines of Python that it came through."""
        return [str(self)]


def chapter_here(code: str) -> tuple[Book, Chapter]:
    """The book as last saved or run, and the chapter of a code or of this notebook. Raises AskError."""
    state = _state()
    book, problems = state.book()
    if book is None:
        raise AskError(f"The manual cannot be read: {problems[0].message if problems else 'no vehicle notebook'}")
    if code:
        found = book.chapter(code)
        if found is None:
            raise AskError(unknown("chapter", code, [str(chapter.code) for chapter in book.chapters]))
        return book, found
    file = file_of(state.folder, origin_of(os.environ, _variables(), ""))
    here = next((chapter for chapter in book.chapters if chapter.file == file), None)
    if here is None:
        raise AskError('This notebook is no chapter that can be read; name one: code="P0118".')
    return book, here


def _state() -> BookState:
    folder = manual_above(Path.cwd())
    if folder is None:
        raise AskError("There is no manual here: neither this folder nor one above it holds chapters/vehicle.ipynb.")
    return state_of(folder)


def _variables() -> Mapping[str, object]:
    """The variables of the notebook, where there is one."""
    ipython = sys.modules.get("IPython")
    shell = ipython.get_ipython() if ipython is not None else None
    return shell.user_ns if shell is not None else {}


def series_asked(book: Book, chapter: Chapter, wanted: str) -> tuple[str, ...]:
    """The series asked for, or all of the chapter. Raises AskError."""
    known = tuple(name for name in book.vehicle.series_ids or ("",) if applies(chapter.series, name))
    if wanted and wanted not in known:
        raise AskError(unknown("series", wanted, known))
    if not known:
        raise AskError(f"The chapter {chapter.code} holds for no series of the vehicle.")
    return (wanted,) if wanted else known


def unknown(kind: str, name: str, known: Iterable[str]) -> str:
    """The sentence about a name that is not known, with the nearest that is."""
    names = list(known)
    near = closest(name, names, cutoff=0.4)
    hint = f"did you mean '{near}'?" if near else f"there are {', '.join(names[:12])}" if names else "there is none"
    return f"There is no {kind} '{name}'; {hint}"
