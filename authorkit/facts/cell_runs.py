"""What running the code cells of a notebook depends on, and what they showed when they were last run."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from authorkit.facts.notebook import Cell, Notebook, read_notebook
from authorkit.facts.sources import FIGURES, source_files
from authorkit.store import KeptFiles, content_key

Seen = tuple[tuple[str, str], ...]
"""What code cells can see of the book: the facts of each notebook, the recipe, the files below figures/, as digests."""


@dataclass(frozen=True)
class Shown:
    """What a figure cell displayed: `media` is 'svg', 'png' or 'text'."""

    media: str
    data: bytes


def code_cells(notebook: Notebook) -> tuple[Cell, ...]:
    """The cells that are run, in order: all code cells but those of facts, which are read and never run."""
    return tuple(cell for cell in notebook.cells if cell.kind == "code" and not cell.is_facts and cell.source.strip())


def seen_by_cells(folder: Path) -> Seen:
    """What code cells can see, so that what they showed is used only as long as it would be shown again.

    Prose is no part of it: writing a sentence makes no cell run anew.
    """
    return tuple((file, _seen(folder, file)) for file in source_files(folder))


def _seen(folder: Path, file: str) -> str:
    notebook, _ = read_notebook(folder, file) if file.endswith(".ipynb") else (None, ())
    if notebook is not None and not file.startswith(f"{FIGURES}/"):
        told = repr([cell.source for cell in notebook.facts]).encode("utf-8", "surrogatepass")
    else:
        try:
            told = (folder / file).read_bytes()
        except OSError:
            return ""
    return hashlib.sha256(told).hexdigest()


def read_shown(kept: KeptFiles, folder: Path, file: str, seen: Seen) -> Mapping[int, Shown] | None:
    """What each figure cell of a notebook showed, by its place among the cells that run, from 1.

    None if the notebook was not run since something that its cells depend on changed.
    """
    notebook, _ = read_notebook(folder, file)
    data = kept.get(_key(notebook, seen)) if notebook is not None else None
    if notebook is None or data is None:
        return None
    try:
        told = json.loads(data)
        shown = {int(at): Shown(each["media"], base64.b64decode(each["data"])) for at, each in told.items()}
    except (ValueError, KeyError, TypeError, AttributeError):  # kept by another version of the toolkit
        return None
    return {cell.number: shown[at] for at, cell in enumerate(code_cells(notebook), 1) if at in shown}


def keep_shown(kept: KeptFiles, notebook: Notebook, seen: Seen, shown: Mapping[int, Shown]) -> None:
    """Keep what figure cells showed, by the number of their cell."""
    places = {cell.number: at for at, cell in enumerate(code_cells(notebook), 1)}
    told = {
        places[number]: {"media": each.media, "data": base64.b64encode(each.data).decode("ascii")}
        for number, each in shown.items()
    }
    kept.put(_key(notebook, seen), json.dumps(told, sort_keys=True).encode())


def was_run(kept: KeptFiles, notebook: Notebook, seen: Seen) -> bool:
    """Whether the cells of a notebook need not be run again."""
    return kept.get(_key(notebook, seen)) is not None


def _key(notebook: Notebook, seen: Seen) -> str:
    """The name under which outputs are kept: where the notebook lies, the code in its order, what the code can see."""
    return content_key("cells", notebook.file, tuple(cell.source for cell in code_cells(notebook)), seen)
