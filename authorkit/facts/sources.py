"""What a manual is made from: its files, and a digest of what each of them says."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from authorkit.facts.notebook import read_notebook
from authorkit.facts.read_book import CHAPTERS, VEHICLE_FILE, chapter_files
from authorkit.facts.read_recipe import RECIPE_FILE

FIGURES = "figures"


def source_files(folder: Path) -> Iterator[str]:
    """The recipe, the notebooks, and everything below figures/ that is not hidden; relative to the folder, in order."""
    yield RECIPE_FILE
    yield VEHICLE_FILE
    yield from chapter_files(folder)
    paths = (path.relative_to(folder) for path in (folder / FIGURES).rglob("*") if path.is_file())
    yield from sorted(path.as_posix() for path in paths if is_source(path.as_posix()))


def is_source(file: str) -> bool:
    """Whether a file of the manual's folder, given relative to it, is one that the manual is made from."""
    parts = Path(file).parts
    if any(part.startswith(".") for part in parts):
        return False
    if parts[0] == CHAPTERS:
        return file.endswith(".ipynb")
    return file == RECIPE_FILE or (parts[0] == FIGURES and len(parts) > 1)


def source_digest(folder: Path, file: str) -> str:
    """A digest of what a file says: of a notebook the text of its cells, not what running left in it; '' if absent."""
    path = folder / file
    try:
        notebook, problems = read_notebook(folder, file) if file.endswith(".ipynb") else (None, ())
        if notebook is None or problems:
            return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
    told = [(cell.kind, cell.source) for cell in notebook.cells]
    return hashlib.sha256(repr(told).encode("utf-8", "surrogatepass")).hexdigest()
