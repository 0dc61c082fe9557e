"""A notebook as cells: read as JSON, never executed, without Jupyter's own libraries (they are slow to load)."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path

from authorkit.facts.json_words import explain_json
from authorkit.facts.physical_line import cell_line, physical_line
from authorkit.facts.read_text import read_text
from authorkit.problems import Place, Problem

__all__ = [
    "MAGIC",
    "Cell",
    "Notebook",
    "cell_line",
    "facts_text",
    "nearly_facts",
    "notebook_of",
    "physical_line",
    "read_notebook",
]

MAGIC = "%%facts"
_FACTS = re.compile(r"(?:[ \t]*\n)*%%facts(?![^\s])(.*)")
_NEARLY_FACTS = re.compile(r"\s*(%+ ?\w*fact\w*)", re.IGNORECASE)
_KINDS = ("code", "markdown", "raw")


@dataclass(frozen=True)
class Cell:
    """One cell: its number from 1, its kind ('code', 'markdown' or 'raw'), its text with '\\n' as line end."""

    file: str
    number: int
    kind: str
    source: str

    def place(self, line: int = 0, column: int = 0) -> Place:
        """A spot in this cell."""
        return Place(self.file, self.number, line, column)

    @property
    def is_facts(self) -> bool:
        """True for a code cell that starts with `%%facts` (blank lines before it are no harm)."""
        return self.kind == "code" and _FACTS.match(self.source) is not None


@dataclass(frozen=True)
class Notebook:
    """The cells of one file; `file` is relative to the manual's folder."""

    file: str
    cells: tuple[Cell, ...]

    @property
    def facts(self) -> tuple[Cell, ...]:
        """The cells that hold facts."""
        return tuple(cell for cell in self.cells if cell.is_facts)

    @property
    def markdown(self) -> tuple[Cell, ...]:
        """The cells that hold prose."""
        return tuple(cell for cell in self.cells if cell.kind == "markdown")


def read_notebook(folder: Path, file: str) -> tuple[Notebook | None, tuple[Problem, ...]]:
    """The cells of `folder/file`; None with the findings if the file is no notebook of format 4."""
    text, problems = read_text(folder, file)
    if text is None:
        return None, problems
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        return None, (explain_json(error, text, file),)
    return notebook_of(data, file)


def notebook_of(data: object, file: str) -> tuple[Notebook | None, tuple[Problem, ...]]:
    """The cells of a notebook that is already plain data, as `json.loads` gives it."""
    if not isinstance(data, dict) or not ("cells" in data or "nbformat" in data):
        return None, (_damaged(Place(file), "is not a notebook", "JSON without 'cells'"),)
    version = data.get("nbformat")
    if version != 4 or isinstance(version, bool):
        return None, (_damaged(Place(file), "is not of notebook format 4", f"nbformat {_short(version)}"),)
    if not isinstance(data.get("cells"), list):
        return None, (_damaged(Place(file), "has no list of cells", f"cells: {_short(data.get('cells'))}"),)
    cells, problems = [], []
    for number, item in enumerate(data["cells"], 1):
        cell = _cell(item, file, number)
        if cell is None:
            place = Place(file, number)
            problems.append(_damaged(place, f"has a damaged cell {number}", _short(item)))
        else:
            cells.append(cell)
    return Notebook(file, tuple(cells)), tuple(problems)


def facts_text(cell: Cell) -> tuple[str, tuple[Problem, ...]]:
    """The YAML of a facts cell, lines where they stand in the cell (the `%%facts` line left blank).

    Anything that follows `%%facts` on its line is a finding: it would be ignored without a word.
    """
    match = _FACTS.match(cell.source)
    assert match is not None, "only a facts cell has facts"
    lines = match.group().count("\n")
    body = "\n" * lines + cell.source[match.end() :]
    rest = match.group(1).strip()
    if not rest:
        return body, ()
    column = cell.source.split("\n")[lines].index(rest) + 1
    problem = Problem(
        "yaml-syntax",
        f"The line '{MAGIC}' holds more than that word, and the rest of it is not read.",
        cell.place(lines + 1, column),
        found=rest,
        expected=f"'{MAGIC}' alone on its line",
        suggestion="Move the rest to the next line.",
    )
    return body, (problem,)


def nearly_facts(notebook: Notebook) -> tuple[Cell, str] | None:
    """A cell that was probably meant to hold facts, and how its first line is written instead of `%%facts`."""
    for cell in notebook.cells:
        match = _NEARLY_FACTS.match(cell.source)
        if match:
            return cell, match.group(1)
    return None


def _cell(item: object, file: str, number: int) -> Cell | None:
    if not isinstance(item, dict) or item.get("cell_type") not in _KINDS:
        return None
    source = item.get("source", "")
    if isinstance(source, list) and all(isinstance(line, str) for line in source):
        source = "".join(source)
    if not isinstance(source, str):
        return None
    return Cell(file, number, item["cell_type"], source.replace("\r\n", "\n").replace("\r", "\n"))


def _damaged(place: Place, what: str, found: str) -> Problem:
    return Problem(
        "notebook-damaged",
        f"The file '{place.file}' {what}.",
        place,
        found=found,
        expected="a notebook of format 4 (.ipynb)",
        suggestion="Open it in JupyterLab and save it again, or restore it from a copy.",
    )


def _short(value: object) -> str:
    text = "nothing" if value is None else repr(value)
    return text if len(text) <= 40 else text[:40] + "…"
