"""The book as it is at this moment: files are read again only if they have changed, and an unsaved cell counts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import TypeVar

from authorkit.facts.notebook import Cell, Notebook, read_notebook
from authorkit.facts.read_book import VEHICLE_FILE, Source, chapter_files, read_book
from authorkit.facts.read_chapter import read_chapter
from authorkit.facts.read_vehicle import Shared, read_vehicle
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.vehicle import Vehicle
from authorkit.model.wiring import Wiring
from authorkit.problems import Problem

T = TypeVar("T")
_Opened = tuple[Notebook | None, tuple[Problem, ...]]
_Read = tuple[Chapter | None, tuple[Problem, ...]]
_Vehicle = tuple[Vehicle | None, Shared, tuple[Problem, ...]]


def manual_above(start: Path) -> Path | None:
    """The nearest folder from `start` upwards that holds a manual, or None."""
    start = start.resolve()
    return next((folder for folder in (start, *start.parents) if (folder / VEHICLE_FILE).is_file()), None)


@dataclass
class BookState:
    """One manual's folder, and what has been read of it."""

    folder: Path
    _typed: dict[str, tuple[object, Notebook]] = field(default_factory=dict)
    _opened: dict[str, tuple[object, _Opened]] = field(default_factory=dict)
    _chapters: dict[str, tuple[object, _Read]] = field(default_factory=dict)
    _vehicles: dict[str, tuple[object, _Vehicle]] = field(default_factory=dict)
    _plugged: dict[str, tuple[Chapter | Vehicle, Wiring, Chapter | Vehicle]] = field(default_factory=dict)

    def book(self, typed: Notebook | None = None) -> tuple[Book | None, tuple[Problem, ...]]:
        """The book and the findings of reading it; `typed` stands in for the file of the same name."""
        source = Source(
            lambda folder: sorted({*chapter_files(folder), *self._new(typed)}),
            lambda folder, file: (typed, ()) if typed is not None and typed.file == file else self._open(file),
            self._chapter,
            self._vehicle,
            self._plugged,
        )
        return read_book(self.folder, source=source)

    def remember(self, typed: Notebook) -> None:
        """Let a cell that was run count from now on, until its notebook is saved."""
        self._typed[typed.file] = (_stamp(self.folder / typed.file), typed)

    def stamp(self) -> object:
        """What changes whenever a notebook of the folder is written, comes or goes."""
        return tuple((file, _stamp(self.folder / file)) for file in (VEHICLE_FILE, *chapter_files(self.folder)))

    def notebook(self, file: str) -> Notebook | None:
        """The cells of a notebook as last saved or run; None if there is none that can be read."""
        return self._open(file)[0]

    def line_of(self, file: str, cell: int, line: int) -> str | None:
        """A line as last saved, or None."""
        notebook = self.notebook(file)
        cells = notebook.cells if notebook else ()
        lines = next((each.source.split("\n") for each in cells if each.number == cell), [])
        return lines[line - 1] if 0 < line <= len(lines) else None

    def _new(self, typed: Notebook | None) -> set[str]:
        """Notebooks that are being typed and were never saved belong to the book as well."""
        unsaved = {file for file, (stamp, _) in self._typed.items() if stamp is None}
        return (unsaved | ({typed.file} if typed is not None else set())) - {VEHICLE_FILE}

    def _open(self, file: str) -> _Opened:
        stamp = _stamp(self.folder / file)
        before, typed = self._typed.get(file, (None, None))
        if typed is not None and before == stamp:
            return typed, ()
        return _kept(self._opened, file, stamp, lambda: read_notebook(self.folder, file))

    def _chapter(self, notebook: Notebook, shared: Shared) -> _Read:
        return _kept(self._chapters, notebook.file, (notebook, shared), lambda: read_chapter(notebook, shared))

    def _vehicle(self, notebook: Notebook) -> _Vehicle:
        return _kept(self._vehicles, notebook.file, notebook, lambda: read_vehicle(notebook))


@lru_cache(maxsize=4)
def state_of(folder: Path) -> BookState:
    """The one state of a manual's folder in this process."""
    return BookState(folder)


def with_cell(notebook: Notebook, number: int, source: str) -> Notebook:
    """The notebook with the text of one cell replaced; a number beyond the last adds a cell."""
    cells = tuple(replace(cell, source=source) if cell.number == number else cell for cell in notebook.cells)
    if all(cell.number != number for cell in cells):
        cells = (*cells, Cell(notebook.file, number, "code", source))
    return replace(notebook, cells=cells)


def _stamp(path: Path) -> object:
    """What changes whenever a file is written; None if there is none."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size, status.st_ino


def _kept(store: dict[str, tuple[object, T]], name: str, key: object, make: Callable[[], T]) -> T:
    """What was made for the same key before, or made now."""
    before = store.get(name)
    if before is not None and before[0] == key:
        return before[1]
    made = make()
    store[name] = (key, made)
    return made
