"""The whole book: recipe, vehicle, chapters and front pages of a folder."""

from __future__ import annotations

import gc
from collections.abc import Callable, Collection, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar, cast

from authorkit.facts.notebook import Notebook, read_notebook
from authorkit.facts.prose import read_front
from authorkit.facts.read_chapter import read_chapter
from authorkit.facts.read_recipe import RECIPE_FILE, read_recipe
from authorkit.facts.read_vehicle import Shared, read_vehicle
from authorkit.model.book import Book, FrontPage, Recipe
from authorkit.model.chapter import Chapter
from authorkit.model.vehicle import Vehicle
from authorkit.model.wiring import Connector, Wiring
from authorkit.problems import Place, Problem
from authorkit.problems.closest import closest, did_you_mean

CHAPTERS = "chapters"
VEHICLE_FILE = "chapters/vehicle.ipynb"
_FRONT = "front-"


@dataclass(frozen=True)
class Source:
    """How notebooks are opened, and how the facts in them are read: from disk and anew, unless somebody keeps them.

    `files` lists the notebooks of a folder, without the vehicle's. `plugged` remembers each chapter as it was read and
    as it stands in the book, so that a chapter that did not change stays the same object from reading to reading.
    """

    files: Callable[[Path], list[str]]
    open: Callable[[Path, str], tuple[Notebook | None, tuple[Problem, ...]]] = read_notebook
    chapter: Callable[[Notebook, Shared], tuple[Chapter | None, tuple[Problem, ...]]] = read_chapter
    vehicle: Callable[[Notebook], tuple[Vehicle | None, Shared, tuple[Problem, ...]]] = read_vehicle
    plugged: dict[str, tuple[Chapter | Vehicle, Wiring, Chapter | Vehicle]] = field(default_factory=dict)


def read_book(
    folder: Path, only: Collection[str] | None = None, source: Source | None = None
) -> tuple[Book | None, tuple[Problem, ...]]:
    """Everything that can be read of the manual in `folder`, and all findings in reading order.

    None if there is no vehicle notebook with readable facts. `only` limits the chapters to these codes or files
    ('P0118', 'P0118-17', 'chapters/P0118.ipynb'). Chapters come in code order; the recipe's order is for the page.
    Nothing is executed, and no input raises.
    """
    with _no_search_for_cycles():
        return _read_book(folder, only, source or Source(chapter_files))


@contextmanager
def _no_search_for_cycles() -> Iterator[None]:
    """Hold the garbage collector's search: of a million new values none refers to itself, and all are kept."""
    searching = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searching:
            gc.enable()


def _read_book(folder: Path, only: Collection[str] | None, source: Source) -> tuple[Book | None, tuple[Problem, ...]]:
    recipe, problems = read_recipe(folder)
    desk = _Desk(folder, [*problems], source)
    vehicle = desk.vehicle()
    files = source.files(folder)
    front = [desk.front(file) for file in files if _is_front(file)]
    chapters = desk.chapters([file for file in files if not _is_front(file)], only)
    book = None
    if vehicle is not None:
        pages = tuple(page for page in front if page is not None)
        recipe = recipe or Recipe("", place=Place(RECIPE_FILE))
        read = Book(folder, recipe, vehicle, chapters, pages)
        bodies = _bodies(read, source)
        book = replace(read, vehicle=bodies.in_book(vehicle), chapters=tuple(map(bodies.in_book, chapters)))
        desk.findings += _loose(bodies.loose, bodies.part_of) if only is None else ()
    return book, tuple(sorted(desk.findings, key=lambda problem: problem.sort_key))


def chapter_files(folder: Path) -> list[str]:
    """The notebooks below chapters/ except the vehicle's, sorted, without hidden folders such as checkpoints."""
    paths = (path for path in (folder / CHAPTERS).rglob("*.ipynb") if path.is_file())
    files = (path.relative_to(folder) for path in paths)
    names = (file.as_posix() for file in files if not any(part.startswith(".") for part in file.parts))
    return sorted(name for name in names if name != VEHICLE_FILE)


def _is_front(file: str) -> bool:
    return Path(file).name.startswith(_FRONT)


@dataclass
class _Desk:
    """The folder that is being read, what its vehicle declares, and the findings so far."""

    folder: Path
    findings: list[Problem]
    source: Source
    shared: Shared = field(default_factory=Shared)

    def vehicle(self) -> Vehicle | None:
        """Read the vehicle notebook; chapters read afterwards know what it declares."""
        notebook = self._open(VEHICLE_FILE)
        if notebook is None:
            return None
        vehicle, self.shared, problems = self.source.vehicle(notebook)
        self.findings += problems
        return vehicle

    def front(self, file: str) -> FrontPage | None:
        """Read one front page."""
        notebook = self._open(file)
        if notebook is None:
            return None
        title, place, prose, problems = read_front(notebook)
        self.findings += problems
        self.findings += [_facts_in_front(cell.place(1)) for cell in notebook.facts]
        if not title:
            title = Path(file).stem.removeprefix(_FRONT).replace("-", " ")
            self.findings.append(_no_title(place, title))
        return FrontPage(title, file, prose, place)

    def chapters(self, files: list[str], only: Collection[str] | None) -> tuple[Chapter, ...]:
        """Read all chapters, or those asked for."""
        if only is None:
            chapters = [chapter for file in files if (chapter := self._chapter(file))]
        else:
            chapters = self._chosen(files, set(only))
        return tuple(sorted(chapters, key=lambda chapter: (chapter.code, chapter.file)))

    def _chosen(self, files: list[str], only: set[str]) -> list[Chapter]:
        """The chapters whose file has a name asked for, then those that hold a code asked for."""
        named = [file for file in files if {file, Path(file).stem} & only]
        chapters = [chapter for file in named if (chapter := self._chapter(file))]
        left = only - {name for file in named for name in (file, Path(file).stem)}
        left = left.difference(*map(_codes, chapters))
        for file in [file for file in files if file not in named] if left else ():
            quiet = _Desk(self.folder, [], self.source, self.shared)
            chapter = quiet._chapter(file)
            if chapter is not None and left & _codes(chapter):
                chapters.append(chapter)
                self.findings += quiet.findings
        left = left.difference(*map(_codes, chapters))
        self.findings += [_no_chapter(name, [Path(file).stem for file in files]) for name in sorted(left)]
        return chapters

    def _chapter(self, file: str) -> Chapter | None:
        notebook = self._open(file)
        if notebook is None:
            return None
        chapter, problems = self.source.chapter(notebook, self.shared)
        self.findings += problems
        return chapter

    def _open(self, file: str) -> Notebook | None:
        notebook, problems = self.source.open(self.folder, file)
        self.findings += problems
        return notebook


def _codes(chapter: Chapter) -> set[str]:
    return {str(chapter.code), chapter.code.text}


_Page = TypeVar("_Page", Chapter, Vehicle)


@dataclass
class _Bodies:
    """Which part each connector of the book plugs into, and connectors for which nobody says so."""

    part_of: dict[str, str]
    source: Source
    loose: list[Connector] = field(default_factory=list)

    def in_book(self, page: _Page) -> _Page:
        """A chapter or the vehicle with its connector bodies plugged in; the same object as last time if it may be."""
        path = "circuit.connectors" if isinstance(page, Chapter) else "connectors"
        wiring = self._plugged(page.wiring, page.places, path)
        before = self.source.plugged.get(page.file)
        if before is not None and before[0] is page and before[1].connectors == wiring.connectors:
            return cast("_Page", before[2])
        found = replace(page, wiring=wiring)
        self.source.plugged[page.file] = (page, wiring, found)
        return found

    def _plugged(self, wiring: Wiring, places: dict[str, Place], path: str) -> Wiring:
        """The wiring with each connector body given the part that another notebook plugs it into."""
        return replace(
            wiring,
            connectors=tuple(
                self._one(body, in_line=f"{path}.{body.id}.in-line" in places) for body in wiring.connectors
            ),
        )

    def _one(self, body: Connector, *, in_line: bool) -> Connector:
        if body.part or in_line:
            return body
        if body.id not in self.part_of:
            self.loose.append(body)
            return body
        return replace(body, part=self.part_of[body.id])


def _bodies(book: Book, source: Source) -> _Bodies:
    """Who plugs each connector body in: it may stand in another notebook than its part."""
    connectors = [connector for wiring in reversed(book.wirings) for connector in reversed(wiring.connectors)]
    return _Bodies({connector.id: connector.part for connector in connectors if connector.part}, source)


def _loose(connectors: Iterable[Connector], known: Collection[str]) -> Iterable[Problem]:
    for connector in connectors:
        near = closest(connector.id, sorted(known))
        yield Problem(
            "key-missing",
            f"The connector '{connector.id}' plugs into no part, and nothing says that it is in-line.",
            connector.place,
            found=connector.id,
            expected="'in-line: yes', or a part that has this connector",
            suggestion=did_you_mean(near) or f"Add 'in-line: yes' to '{connector.id}', or name it under its part.",
        )


def _facts_in_front(place: Place) -> Problem:
    return Problem(
        "facts-cell-repeated",
        f"The front page '{place.file}' has a cell of facts, which is not read.",
        place,
        found="a cell of facts",
        expected="Markdown cells only",
        suggestion="Move the facts to the vehicle notebook, or rename the file if it is a chapter.",
    )


def _no_title(place: Place, title: str) -> Problem:
    return Problem(
        "prose-section-unknown",
        f"The front page '{place.file}' has no title; '{title}' is printed instead.",
        place,
        found="no heading of level 1",
        expected="a heading of level 1",
        suggestion=f"Begin its first Markdown cell with '# {title.capitalize()}'.",
    )


def _no_chapter(name: str, names: list[str]) -> Problem:
    return Problem(
        "file-missing",
        f"There is no chapter '{name}'.",
        Place(name if name.endswith(".ipynb") else f"{CHAPTERS}/{name}.ipynb"),
        found=name,
        expected="the code or the file of a chapter",
        suggestion=did_you_mean(closest(Path(name).stem, names)) or "Look for the code among the chapters.",
    )
