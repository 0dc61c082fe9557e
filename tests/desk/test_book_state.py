"""The book is read again where a file has changed, and nowhere else; a cell that was run counts until it is saved."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from authorkit.desk.book_state import BookState, manual_above, with_cell
from authorkit.facts import notebook as notebooks


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def title(state: BookState, code: str) -> str:
    book, _ = state.book()
    assert book is not None
    chapter = book.chapter(code)
    assert chapter is not None
    return chapter.title


def test_the_manual_is_found_from_a_folder_inside_it(manual: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    assert manual_above(manual / "chapters") == manual.resolve()
    assert manual_above(tmp_path_factory.mktemp("nothing")) is None


def test_only_the_file_that_changed_is_read_again(manual: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    read = notebooks.read_notebook

    def counted(folder: Path, file: str) -> object:
        opened.append(file)
        return read(folder, file)

    monkeypatch.setattr("authorkit.desk.book_state.read_notebook", counted)
    state = BookState(manual)
    state.book()
    assert len(opened) == len(set(opened)) == len(list((manual / "chapters").glob("*.ipynb")))
    opened.clear()
    edit(manual / "chapters" / "P0118.ipynb", "sensor 1 circuit high", "sensor 1 circuit much too high")
    assert title(state, "P0118").endswith("much too high")
    assert opened == ["chapters/P0118.ipynb"]


def test_a_book_from_what_was_kept_is_the_book_that_is_read_anew(manual: Path) -> None:
    state = BookState(manual)
    state.book()
    edit(manual / "chapters" / "vehicle.ipynb", "Veldrun Parcel", "Veldrun Parcel Long")
    (manual / "chapters" / "P0571.ipynb").unlink()
    assert state.book() == BookState(manual).book()


def test_a_cell_that_was_run_counts_until_its_notebook_is_saved(manual: Path) -> None:
    state = BookState(manual)
    file = "chapters/P0118.ipynb"
    notebook = state.notebook(file)
    assert notebook is not None
    cell = notebook.facts[0]
    state.remember(with_cell(notebook, cell.number, cell.source.replace("sensor 1", "sensor 7")))
    assert "sensor 7" in title(state, "P0118")
    edit(manual / file, "sensor 1 circuit high", "sensor 9 circuit high")
    assert "sensor 9" in title(state, "P0118")


def test_a_chapter_that_was_never_saved_belongs_to_the_book(manual: Path) -> None:
    state = BookState(manual)
    notebook, _ = notebooks.notebook_of(
        {"nbformat": 4, "cells": [{"cell_type": "code", "source": "%%facts\ncode: P0115\ntitle: New"}]},
        "chapters/P0115.ipynb",
    )
    assert notebook is not None
    book, _ = state.book(notebook)
    assert book is not None
    assert book.chapter("P0115") is not None
    assert state.book()[0] is not None
    assert state.book()[0].chapter("P0115") is None  # type: ignore[union-attr]


def test_lines_are_those_of_the_last_saved_notebook(manual: Path) -> None:
    state = BookState(manual)
    source = json.loads((manual / "chapters" / "P0118.ipynb").read_text(encoding="utf-8"))["cells"][1]["source"]
    assert state.line_of("chapters/P0118.ipynb", 2, 2) == source[1].rstrip("\n")
    assert state.line_of("chapters/P0118.ipynb", 2, 9999) is None
    assert state.line_of("chapters/absent.ipynb", 1, 1) is None
