"""The chapter's page and its slides for `jupyter nbconvert --to authorkit` and for Jupyter's menu of exports.

A page needs the whole manual (what other chapters say of the same connector, the vehicle's series), so the notebook is
found on disk and read with its book; nothing is executed. nbconvert imports this module whenever it starts, so the rest
of the toolkit is imported only when a page is made.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nbconvert.exporters import Exporter
from nbconvert.utils.exceptions import ConversionException

if TYPE_CHECKING:
    from authorkit.desk.chapter_file import Made
    from authorkit.model.book import Book
    from authorkit.model.chapter import Chapter
    from authorkit.problems import Problem


class _ChapterExporter(Exporter):
    """What both have in common: finding the chapter, and telling why there is no file."""

    output_mimetype = "text/html"

    def _file_extension_default(self) -> str:
        return ".html"

    def from_notebook_node(self, nb: Any, resources: Any = None, **settings: Any) -> Any:
        """The file's text and the resources. Raises ConversionException where there is no text."""
        from authorkit.desk.page_view import NoPageError

        _, told = super().from_notebook_node(nb, resources, **settings)
        metadata = told.get("metadata", {})
        path = Path(metadata.get("path") or ".").resolve() / f"{metadata.get('name', '')}.ipynb"
        try:
            return self._text(path), told
        except NoPageError as error:
            self._end_program(str(error))
            raise ConversionException(str(error)) from error

    def _end_program(self, message: str) -> None:
        """On the command line a sentence ends the program; raised, it would be buried under a traceback."""
        from nbconvert.nbconvertapp import NbConvertApp

        if NbConvertApp.initialized():
            self.log.error(message)
            sys.exit(1)

    def _text(self, path: Path) -> str:
        from authorkit.desk.page_view import NoPageError, saved_chapters
        from authorkit.facts.read_book import VEHICLE_FILE

        folder = next((each for each in path.parents if (each / VEHICLE_FILE).is_file()), None)
        if folder is None or not path.is_file():
            raise NoPageError(f"'{path.name}' is not a saved notebook of a manual (a folder with {VEHICLE_FILE}).")
        book, (chapter,), reading = saved_chapters([path.relative_to(folder).as_posix()], folder)
        made = self._made(book, reading, chapter)
        if made.text is None:
            raise NoPageError(_shown(made, folder))
        return made.text

    def _made(self, book: Book, reading: Sequence[Problem], chapter: Chapter) -> Made:
        raise NotImplementedError


class PageExporter(_ChapterExporter):
    """The chapter's page as it stands in the HTML manual, as one file."""

    export_from_notebook = "Page of the manual"

    def _made(self, book: Book, reading: Sequence[Problem], chapter: Chapter) -> Made:
        from authorkit.desk.chapter_file import page_file

        return page_file(book, reading, chapter)


class SlidesExporter(_ChapterExporter):
    """The chapter as slides for teaching, as one file."""

    export_from_notebook = "Slides of the chapter"

    def _file_extension_default(self) -> str:
        return ".slides.html"

    def _made(self, book: Book, reading: Sequence[Problem], chapter: Chapter) -> Made:
        from authorkit.desk.chapter_file import slides_file

        return slides_file(book, reading, [chapter], f"{chapter.code} {chapter.title}")


def _shown(made: Made, folder: Path) -> str:
    """The findings as text, as `authorkit check` prints them."""
    from authorkit.facts.physical_line import cell_line
    from authorkit.problems.show import show_problem

    told = (
        show_problem(problem, lambda place: cell_line(folder / place.file, place.cell, place.line))
        for problem in made.problems
    )
    return "\n".join(["The chapter has errors, and no file was made.", *told])
