"""Where in the author's material something stands."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Place:
    """A spot in a notebook (or another input file) as the author sees it.

    `file` is relative to the manual's folder, with forward slashes. `cell` counts all cells from 1 (0 = no cell: the
    file as a whole, or a plain file). `line` counts from 1 inside the cell; the `%%facts` line is line 1, as JupyterLab
    numbers it. `column` counts characters from 1. Zero means "not known".
    """

    file: str
    cell: int = 0
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        """`chapters/P0118.ipynb, cell 1, line 7, column 12`; parts that are not known are left out."""
        return ", ".join(filter(None, (self.file, self.within)))

    @property
    def within(self) -> str:
        """The same without the file: `cell 1, line 7, column 12`; '' for a file as a whole."""
        numbers = {"cell": self.cell, "line": self.line, "column": self.column}
        return ", ".join(f"{name} {number}" for name, number in numbers.items() if number)
