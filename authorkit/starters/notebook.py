"""Notebooks as files: format 4.5 as Jupyter writes it, and files that appear whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from authorkit.facts.canonical import layout

# No version of the language: it would change with every machine.
_METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


@dataclass(frozen=True)
class Cell:
    """One cell: `id` has 1 to 64 letters, digits, '-' and '_', and stays the same from one making to the next."""

    kind: Literal["code", "markdown"]
    id: str
    source: str


def notebook_text(cells: Iterable[Cell]) -> str:
    """A notebook of format 4.5 without outputs, in the layout in which Jupyter itself saves it."""
    notebook = {
        "cells": [_written(cell) for cell in cells],
        "metadata": _METADATA,
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    return layout(notebook)


def _written(cell: Cell) -> dict[str, Any]:
    written: dict[str, Any] = {
        "cell_type": cell.kind,
        "id": cell.id,
        "metadata": {},
        "source": cell.source.splitlines(keepends=True),
    }
    return written | {"execution_count": None, "outputs": []} if cell.kind == "code" else written


def write_new(path: Path, text: str) -> None:
    """Write a file that does not exist yet: at every moment it is absent or whole.

    Raises FileExistsError if there is something at `path`, OSError if it cannot be written.
    """
    aside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with aside.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        _take_place(aside, path)
    finally:
        aside.unlink(missing_ok=True)


def _take_place(aside: Path, path: Path) -> None:
    """Give a finished file its name. A hard link, unlike a renaming, never replaces what has the name already."""
    try:
        path.hardlink_to(aside)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        if os.path.lexists(path):
            raise FileExistsError(17, os.strerror(17), str(path)) from None
        aside.rename(path)
