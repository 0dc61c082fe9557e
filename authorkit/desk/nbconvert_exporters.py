"""The chapter's page and its slides for `jupyter nbconvert --to authorkit` and for Jupyter's menu of exports.

A page needs the whole manual (what other chapters say of the same connector, the vehicle's series), so the notebook is
found on disk and read with its book; nothing is executed.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from nbconvert.exporters import Exporter
from nbconvert.nbconvertapp import NbConvertApp
from nbconvert.utils.exceptions import ConversionException

from authorkit.desk.chapter_file import Made, page_file, slides_file
from authorkit.desk.page_view import NoPageError, saved_chapters
from authorkit.facts.read_book import manual_above
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.problems import Problem
from authorkit.problems.lines import Lines
from authorkit.problems.show import show_problem


class _ChapterExporter(Exporter):
    """What both have in common: finding the chapter, and telling why there is no file."""

    output_mimetype = "text/html"

    def _file_extension_default(self) -> str:
        return ".html"

    def from_notebook_node(
        self, nb: Any, resources: Any = None, **settings: Any
    ) -> tuple[str, dict[str, Any]]:
        """The file's text. Raises ConversionException where there is none; on the command line it ends the program."""
        _, told = super().from_notebook_node(nb, resources, **settings)
        try:
            folder, text = self._text(told.get("metadata", {}))
        except NoPageError as error:
            _refuse(str(error))
        return text, told


class PageExporter(_ChapterExporter):
    """The chapter's page as it stands in the HTML manual, as one file."""

    export_from_notebook = "Page of the manual"
"""
