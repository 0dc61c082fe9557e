"""Figure cells: code cells that begin with '#| figure: NAME', whose picture is placed where the cell stands.

The lines are comments of Python, so the cell runs in any kernel; nothing is run here.
"""

from __future__ import annotations

import re
from dataclasses import replace

from authorkit.facts.notebook import Cell, Notebook
from authorkit.facts.prose import open_sections
from authorkit.facts.schema.cell_figure import CELL_FIGURE
from authorkit.facts.schema.reader import Reader
from authorkit.facts.yaml_lines import read_yaml
from authorkit.model.chapter import CellFigure
from authorkit.problems import Problem

_BEGINS = re.compile(r"(?:[ \t]*\n)*[ \t]*#\|[ \t]*figure[ \t]*:")
_MARK = "#|"


def is_figure_cell(cell: Cell) -> bool:
    """Whether a cell says that its picture goes into the page."""
    return cell.kind == "code" and _BEGINS.match(cell.source) is not None


def read_cell_figures(notebook: Notebook) -> tuple[tuple[CellFigure, ...], tuple[Problem, ...]]:
    """The figure cells of a notebook in their order, without those whose head cannot be read; and the findings."""
    cells = [cell for cell in notebook.cells if is_figure_cell(cell)]
    sections = open_sections(notebook) if cells else {}
    figures: list[CellFigure] = []
    problems: list[Problem] = []
    for cell in cells:
        node, found = read_yaml(_head(cell), cell.file, cell.number)
        problems += found
        reader = Reader()
        figure = reader.read(CELL_FIGURE, node) if node is not None else None
        problems += reader.problems
        if figure is not None:
            figures.append(replace(figure, section=sections[cell.number], code=cell.source))
    return tuple(figures), tuple(problems)


def _head(cell: Cell) -> str:
    """The lines of the head as YAML, each where it stands in the cell: the mark becomes two spaces."""
    head: list[str] = []
    for line in cell.source.split("\n"):
        text = line.lstrip(" \t")
        if text.startswith(_MARK):
            head.append(line.replace(_MARK, "  ", 1))
        elif text or any(each.strip() for each in head):
            break
        else:
            head.append("")
    return "\n".join(head)
