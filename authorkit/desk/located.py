"""Which cell of which notebook is being run or typed in: told by the program that shows the notebook, else found."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from authorkit.desk.book_state import BookState, with_cell
from authorkit.facts.notebook import Cell, Notebook
from authorkit.facts.read_book import VEHICLE_FILE, chapter_files

_CODE = re.compile(r"^code:[ \t]*['\"]?([A-Za-z0-9-]+)", re.MULTILINE)
_TOP_KEY = re.compile(r"^([A-Za-z][\w-]*):", re.MULTILINE)


@dataclass(frozen=True)
class Origin:
    """What is known about where a cell comes from: the notebook's path and the cell's id, '' if nobody told."""

    notebook: str = ""
    cell: str = ""


@dataclass(frozen=True)
class Located:
    """A facts cell that is being typed: its notebook with the typed text in it, and its place there."""

    notebook: Notebook
    cell: Cell

    @property
    def file(self) -> str:
        """The notebook, relative to the manual's folder."""
        return self.notebook.file

    @property
    def is_vehicle(self) -> bool:
        """Whether this is the vehicle notebook."""
        return self.file == VEHICLE_FILE


def origin_of(environment: Mapping[str, str], variables: Mapping[str, object], cell: str) -> Origin:
    """From what Jupyter's server puts into the kernel's environment, or VS Code into its variables (from memory)."""
    path = str(variables.get("__vsc_ipynb_file__") or environment.get("JPY_SESSION_NAME") or "")
    return Origin(path if path.endswith(".ipynb") else "", "" if cell.startswith("vscode-") else cell)


def file_of(folder: Path, origin: Origin) -> str:
    """The notebook that is open, relative to the manual's folder; '' if it is not one of the manual's."""
    return _told(folder, origin.notebook)


def locate(state: BookState, source: str, origin: Origin) -> Located:
    """The cell with this text. A notebook that is not in the folder, or was renamed, is found by the facts' code."""
    file = _told(state.folder, origin.notebook) or _by_facts(state, source)
    notebook = state.notebook(file) or Notebook(file, ())
    number = _number(state.folder, notebook, source, origin.cell)
    notebook = with_cell(notebook, number, source)
    return Located(notebook, next(cell for cell in notebook.cells if cell.number == number))


def _told(folder: Path, notebook: str) -> str:
    """The notebook relative to the folder; '' unless it is one of the manual's."""
    path = Path(notebook)
    candidates = [path] if path.is_absolute() else [folder / path, Path.cwd() / path.name]
    for candidate in candidates if notebook else ():
        resolved = candidate.resolve()
        if resolved.is_file() and resolved.is_relative_to(folder):
            file = resolved.relative_to(folder).as_posix()
            if file == VEHICLE_FILE or file in chapter_files(folder):
                return file
    return ""


def _by_facts(state: BookState, source: str) -> str:
    """The file that holds these facts: the chapter of that code, a new one, or the vehicle notebook."""
    code = _CODE.search(source)
    if code is None:
        return VEHICLE_FILE
    for file in chapter_files(state.folder):
        notebook = state.notebook(file)
        facts = notebook.facts if notebook else ()
        if any((found := _CODE.search(cell.source)) and found[1] == code[1] for cell in facts):
            return file
    return f"chapters/{code[1]}.ipynb"


def _number(folder: Path, notebook: Notebook, source: str, identity: str) -> int:
    """The number of the cell: by its id, by its text, by the keys that it shares; one more than the last if new."""
    ids = _ids(folder / notebook.file) if identity else []
    if identity in ids:
        return ids.index(identity) + 1
    facts = [cell for cell in notebook.cells if cell.is_facts]
    same = next((cell for cell in facts if cell.source == source), None)
    if same is None and facts:
        keys = set(_TOP_KEY.findall(source))
        alike = [(len(keys & set(_TOP_KEY.findall(cell.source))), -cell.number, cell) for cell in facts]
        most, _, cell = max(alike)
        same = cell if most or notebook.file != VEHICLE_FILE else None
    return same.number if same else len(notebook.cells) + 1


def _ids(path: Path) -> list[str]:
    """The ids of a notebook's cells in order, as last saved."""
    try:
        cells = json.loads(path.read_bytes())["cells"]
        return [str(cell.get("id", "")) for cell in cells]
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        return []
