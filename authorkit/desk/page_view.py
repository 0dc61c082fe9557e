"""The page of one chapter as it will be read: the HTML page, or the printed pages, to be shown in a notebook."""

from __future__ import annotations

import html
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from authorkit.checks.run import check_book
from authorkit.drawing.store import PictureStore
from authorkit.facts.read_book import read_book
from authorkit.manual.blocks import Manual
from authorkit.manual.compose import compose_chapters
from authorkit.model.book import Book, PageSize
from authorkit.model.chapter import Chapter
from authorkit.output.html.lone import address, lone_html
from authorkit.output.pdf.page_pictures import page_pictures
from authorkit.problems import Problem
from authorkit.problems.closest import closest, did_you_mean
from authorkit.store import KeptFiles

_KEPT = Path("build") / "out" / ".cache" / "kept"
_HEIGHT = 900  # CSS pixels of the frame in the notebook


class NoPageError(LookupError):
    """There is no page to show; the message is one sentence."""


@dataclass(frozen=True)
class PageView:
    """A page to look at, with what could not be shown on it. A notebook shows it by itself."""

    title: str
    markup: str
    problems: tuple[Problem, ...]

    def _repr_html_(self) -> str:
        return self.markup

    def __repr__(self) -> str:
        return f"<the page of {self.title}>"


def view_page(book: Book, chapter: Chapter, *, pdf: bool = False, page_size: PageSize = "a4") -> PageView:
    """The page of a chapter from facts in memory, saved or not: as in the HTML manual, or as printed with `pdf`."""
    manual, problems = compose_chapters(book, [chapter], picture_store(book))
    markup, found = _printed(manual, page_size) if pdf else _framed(manual)
    return PageView(str(chapter.code), markup, (*problems, *found))


def view_saved(name: str, folder: Path, *, pdf: bool = False) -> PageView:
    """The page of the chapter with this code or in this notebook file ('chapters/P0118.ipynb'), as it is on disk.

    Raises NoPageError if there is no such chapter or if it cannot be read.
    """
    book, chapters, _ = saved_chapters([name], folder)
    return view_page(book, chapters[0], pdf=pdf)


def saved_chapters(names: Iterable[str], folder: Path) -> tuple[Book, tuple[Chapter, ...], tuple[Problem, ...]]:
    """The book on disk, its chapters with these codes or in these notebook files, and the findings of reading.

    Raises NoPageError.
    """
    book, problems = read_book(folder)
    return _named(names, book, problems)


def picture_store(book: Book) -> PictureStore:
    """Where earlier builds drew, so that a preview draws only what is new."""
    return PictureStore(KeptFiles(book.folder / _KEPT))


def in_the_way(book: Book, reading: Iterable[Problem], chapters: Iterable[Chapter]) -> tuple[Problem, ...]:
    """The errors of checking that touch these chapters, or what all chapters share; others may be unfinished."""
    own = {chapter.file for chapter in chapters}
    shared = {book.vehicle.file, book.recipe.place.file}
    return tuple(
        problem
        for problem in check_book(book, reading).errors
        if problem.place.file in own | shared or own & {place.file for place in problem.also}
    )


def _named(
    names: Iterable[str], book: Book | None, problems: tuple[Problem, ...]
) -> tuple[Book, tuple[Chapter, ...], tuple[Problem, ...]]:
    if book is None:
        raise NoPageError(f"{problems[0].place}: {problems[0].message}")
    by_file = {chapter.file: chapter for chapter in book.chapters}
    chapters = []
    for name in names:
        chapter = book.chapter(name) or by_file.get(name)
        if chapter is None:
            own = [problem for problem in problems if problem.place.file == name]
            raise NoPageError(f"{own[0].place}: {own[0].message}" if own else _unknown(name, book))
        chapters.append(chapter)
    return book, tuple(chapters), problems


def _unknown(name: str, book: Book) -> str:
    if name.endswith(".ipynb"):
        return f"The notebook '{name}' is no chapter of the manual."
    near = closest(name, (str(chapter.code) for chapter in book.chapters))
    return f"There is no chapter '{name}'. {did_you_mean(near) or ''}".rstrip()


def _framed(manual: Manual) -> tuple[str, tuple[Problem, ...]]:
    """The HTML page in a frame of its own: nothing of the notebook gets into it, nothing of it into the notebook."""
    page, problems = lone_html(manual)
    title = html.escape(manual.pages[0].title, quote=True)
    frame = (
        f'<iframe title="{title}" sandbox="allow-scripts" width="100%" height="{_HEIGHT}" '
        f'style="border:1px solid #8C8C8C" srcdoc="{html.escape(page, quote=True)}"></iframe>'
    )
    return frame, problems


def _printed(manual: Manual, page_size: PageSize) -> tuple[str, tuple[Problem, ...]]:
    """The printed pages, one below the other."""
    pictures, problems = page_pictures(manual, page_size)
    style = "display:block;max-width:100%;margin:0 0 12px;border:1px solid #8C8C8C"
    pages = [
        f'<img alt="Page {number} of {len(pictures)}, as printed" style="{style}" src="{address("image/png", data)}">'
        for number, data in enumerate(pictures, 1)
    ]
    return "\n".join(pages), problems
