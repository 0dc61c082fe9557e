"""A small manual on disk, and what a case of `cases/*.yaml` makes of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from authorkit.facts.notebook import Notebook, notebook_of

CHAPTER = "chapters/P0118.ipynb"
VEHICLE = "chapters/vehicle.ipynb"
RECIPE = "build/manual.yaml"

# Lines 1 to 5 of the facts cell, to which `chapter:` of a case is appended; what follows starts at line 6.
CHAPTER_HEAD = """%%facts
code: P0118
title: Engine coolant temperature sensor 1 circuit high
set-by: M1
system: Engine management
"""
# Lines 1 and 2, to which `vehicle:` of a case is appended; what follows starts at line 3.
VEHICLE_HEAD = """%%facts
vehicle: {name: Veldrun Parcel, description: hybrid delivery van, invented: This vehicle does not exist.}
"""
RECIPE_TEXT = "title: Veldrun Parcel\n"


def notebook_data(*cells: tuple[str, str]) -> dict[str, Any]:
    """The JSON data of a notebook from pairs of cell type and source."""
    made = [
        {
            "cell_type": kind,
            "id": f"cell-{number}",
            "metadata": {},
            "source": source.splitlines(keepends=True),
            **({"execution_count": None, "outputs": []} if kind == "code" else {}),
        }
        for number, (kind, source) in enumerate(cells, 1)
    ]
    return {"cells": made, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}


def write_manual(folder: Path, case: dict[str, Any]) -> Path:
    """Write the small manual, changed as the case says, and give its folder."""
    cells = [next(iter(cell.items())) for cell in case.get("cells", [])]
    chapter = case.get("cell", CHAPTER_HEAD + case.get("chapter", ""))
    vehicle = VEHICLE_HEAD + case.get("vehicle", "")
    files: dict[str, Any] = {
        CHAPTER: json.dumps(notebook_data(*(cells or [("code", chapter)])), ensure_ascii=False, indent=1),
        VEHICLE: json.dumps(notebook_data(("code", vehicle)), ensure_ascii=False, indent=1),
        RECIPE: case.get("recipe", RECIPE_TEXT),
        **case.get("files", {}),
    }
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if content is not None:
            path.write_bytes(_bytes(content))
    return folder


def _bytes(content: Any) -> bytes:
    """A file of a case: text, or a mapping of text or cells with an encoding, or repeated."""
    if isinstance(content, str):
        return content.encode()
    text = content.get("text", "")
    if "cells" in content:
        cells = [next(iter(cell.items())) for cell in content["cells"]]
        text = json.dumps(notebook_data(*cells), ensure_ascii=False, indent=1)
    return (text * content.get("repeat", 1)).encode(content.get("encoding", "utf-8"))


@pytest.fixture
def chapter_notebook() -> Callable[..., Notebook]:
    """A function from the text of a facts cell (and Markdown cells) to a chapter's notebook."""

    def make(facts: str, *markdown: str) -> Notebook:
        data = notebook_data(("code", facts), *(("markdown", text) for text in markdown))
        notebook, problems = notebook_of(data, CHAPTER)
        assert notebook is not None
        assert problems == ()
        return notebook

    return make


@pytest.fixture
def manual(tmp_path: Path) -> Callable[[dict[str, Any]], Path]:
    """A function that writes the small manual, changed as a case says, into a new folder."""
    return lambda case: write_manual(tmp_path, case)


@pytest.fixture
def chapter_head() -> str:
    """Lines 1 to 5 of a chapter's facts cell."""
    return CHAPTER_HEAD
