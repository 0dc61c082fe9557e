"""Books of a few lines for the tests of the harness and of the circuits."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from authorkit.facts.read_book import read_book
from authorkit.model.book import Book

# What every vehicle notebook must say; the tests add the rest.
VEHICLE = """
vehicle: {name: Veldrun Parcel, description: hybrid delivery van, invented: This vehicle does not exist.}
series: {A: {name: Series A}, B: {name: Series B}}
"""

CHAPTER = """
code: {code}
title: Coolant temperature
set-by: M1
system: Engine management
"""


def notebook(facts: str) -> str:
    """A notebook with one cell of facts, as JSON text."""
    cell = {
        "cell_type": "code",
        "execution_count": None,
        "id": "facts",
        "metadata": {},
        "outputs": [],
        "source": f"%%facts\n{facts.strip()}",
    }
    return json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def book_of(tmp_path: Path) -> Callable[..., Book]:
    """A function from facts to the book they make: the vehicle notebook's, then each chapter's by its code."""

    def make(vehicle: str = "", **chapters: str) -> Book:
        (tmp_path / "chapters").mkdir()
        (tmp_path / "build").mkdir()
        (tmp_path / "build" / "manual.yaml").write_text("title: Small manual\n", encoding="utf-8")
        (tmp_path / "chapters" / "vehicle.ipynb").write_text(notebook(VEHICLE + vehicle), encoding="utf-8")
        for code, facts in chapters.items():
            text = CHAPTER.replace("{code}", code) + facts
            (tmp_path / "chapters" / f"{code}.ipynb").write_text(notebook(text), encoding="utf-8")
        book, problems = read_book(tmp_path)
        assert problems == ()
        assert book is not None
        return book

    return make
