"""A small manual to be edited at will."""

from __future__ import annotations

import json
from pathlib import Path

from authorkit.commands import CLEAN, main


def small_manual(parent: Path) -> Path:
    """What `init` makes, in a folder whose name needs quoting."""
    folder = parent / "a small manual"
    assert main(["init", str(folder)]) == CLEAN
    return folder


def edit(folder: Path, name: str, old: str, new: str) -> None:
    """Replace a text in the cells of a notebook."""
    path = folder / "chapters" / f"{name}.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    sources = ["".join(cell["source"]) for cell in notebook["cells"]]
    assert sum(source.count(old) for source in sources) >= 1, old
    for cell, source in zip(notebook["cells"], sources, strict=True):
        cell["source"] = source.replace(old, new).splitlines(keepends=True)
    path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False, sort_keys=True) + "\n", encoding="utf-8")


def add_cells(folder: Path, name: str, *cells: tuple[str, str]) -> None:
    """Put cells (kind and text) at the end of a notebook."""
    path = folder / "chapters" / f"{name}.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for kind, text in cells:
        cell = {"cell_type": kind, "id": f"added-{len(notebook['cells'])}", "metadata": {}, "source": text}
        code = {"execution_count": None, "outputs": []} if kind == "code" else {}
        notebook["cells"].append({**cell, **code})
    path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False, sort_keys=True) + "\n", encoding="utf-8")
