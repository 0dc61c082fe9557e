"""The small book of `cases/base.yaml`, with what a case changes in it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.problems import Problem

BASE = Path(__file__).parent / "cases" / "base.yaml"

# A file's text, or the cells of a notebook as pairs of kind ('md', 'facts') and text.
Content = str | list[tuple[str, str]]
Files = dict[str, Content]
Read = tuple[Files, Book, tuple[Problem, ...]]


@pytest.fixture
def small_book(tmp_path: Path) -> Callable[..., Read]:
    """A function from a case ({} or nothing: the book as it is) to its files, the book, and the findings of reading."""

    def read(case: dict[str, Any] | None = None) -> Read:
        files = changed(base_files(), case or {})
        for name, content in files.items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content if isinstance(content, str) else notebook(content), encoding="utf-8")
        book, problems = read_book(tmp_path)
        assert book is not None
        return files, book, problems

    return read


def base_files() -> Files:
    """The small book as files."""
    written = yaml.load(BASE.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    return {name: content_of(content) for name, content in written.items()}


def content_of(written: str | list[dict[str, str]]) -> Content:
    """The cells of a notebook, facts with their first line; a plain text stays as it is."""
    if isinstance(written, str):
        return written
    return [(kind, f"%%facts\n{text}" if kind == "facts" else text) for cell in written for kind, text in cell.items()]


def changed(files: Files, case: dict[str, Any]) -> Files:
    """The files with what a case changes, adds and removes."""
    files = dict(files)
    for name, changes in case.get("change", {}).items():
        for change in changes:
            files[name] = replaced(files[name], change["old"], change["new"], name)
    for name, written in case.get("add", {}).items():
        files[name] = content_of(written)
    for name in case.get("remove", []):
        del files[name]
    return files


def replaced(content: Content, old: str, new: str, name: str) -> Content:
    """The content with a text replaced that stands in it once."""
    cells = [("", content)] if isinstance(content, str) else content
    count = sum(text.count(old) for _, text in cells)
    assert count == 1, f"{old!r} stands {count} times in {name}"
    after = [(kind, text.replace(old, new)) for kind, text in cells]
    return after[0][1] if isinstance(content, str) else after


def notebook(cells: list[tuple[str, str]]) -> str:
    """A notebook of format 4.5 as JSON text."""
    written: list[dict[str, Any]] = []
    for number, (kind, text) in enumerate(cells, 1):
        cell: dict[str, Any] = {"id": f"cell-{number}", "metadata": {}, "source": text.rstrip("\n")}
        if kind == "md":
            written.append({"cell_type": "markdown", **cell})
        else:
            written.append({"cell_type": "code", "execution_count": None, "outputs": [], **cell})
    return json.dumps({"cells": written, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})
