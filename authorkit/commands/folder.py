"""Finding the manual's folder, and reading the author's own lines for display."""

from __future__ import annotations

import argparse
from functools import cache
from pathlib import Path

from authorkit.facts.notebook import read_notebook
from authorkit.facts.physical_line import physical_line
from authorkit.facts.read_text import read_text
from authorkit.problems import Place


class NoManualError(OSError):
    """There is no manual where one was looked for."""

    def __init__(self, start: Path) -> None:
        """Say where was looked and what is missing."""
        super().__init__(
            2,
            "no manual here: neither this folder nor one above it holds chapters/vehicle.ipynb "
            "('authorkit init DIR' makes a new manual), looked from",
            str(start),
        )


def add_folder_argument(parser: argparse.ArgumentParser) -> None:
    """The option that names the manual's folder."""
    parser.add_argument(
        "--manual",
        metavar="DIR",
        type=Path,
        default=None,
        help="the manual's folder (default: this one, or the nearest above it that holds chapters/vehicle.ipynb)",
    )


def manual_folder(given: Path | None) -> Path:
    """The manual's folder. Raises NoManualError."""
    start = (given or Path.cwd()).resolve()
    for folder in (start,) if given else (start, *start.parents):
        if (folder / "chapters" / "vehicle.ipynb").is_file():
            return folder
    raise NoManualError(start)


class Lines:
    """Looks up the author's lines; files are read once, and only for findings."""

    def __init__(self, folder: Path) -> None:
        """`folder` is the manual's folder."""
        self._folder = folder
        self._cells = cache(self._read_cells)
        self._physical = cache(lambda place: physical_line(folder / place.file, place.cell, place.line))

    def line_of(self, place: Place) -> str | None:
        """The line at a place as typed, or None where there is none."""
        lines = self._cells(place.file).get(place.cell, [])
        return lines[place.line - 1] if 0 < place.line <= len(lines) else None

    def physical_line(self, place: Place) -> int:
        """The line of the file itself, from 1."""
        return self._physical(place)

    def _read_cells(self, file: str) -> dict[int, list[str]]:
        """The lines of each cell; a file that is no notebook has its lines in cell 0."""
        notebook, _ = read_notebook(self._folder, file) if file.endswith(".ipynb") else (None, ())
        if notebook is not None:
            return {cell.number: cell.source.split("\n") for cell in notebook.cells}
        text, _ = read_text(self._folder, file)
        return {0: text.split("\n")} if text else {}
