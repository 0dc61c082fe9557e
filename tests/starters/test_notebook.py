"""Notebook files: the format, judged by Jupyter's own library, and writing that never replaces or halves a file."""

from __future__ import annotations

import json
import os
from pathlib import Path

import nbformat
import pytest

from authorkit.starters.notebook import Cell, notebook_text, write_new

CELLS = (Cell("markdown", "title", "# Ω and µ\n\ntext"), Cell("code", "facts", "%%facts\ncode: P0118\n"))


def test_the_text_is_a_notebook_of_format_4_5_by_jupyters_own_schema() -> None:
    notebook = nbformat.reads(notebook_text(CELLS), as_version=nbformat.NO_CONVERT)
    nbformat.validate(notebook)
    assert (notebook.nbformat, notebook.nbformat_minor) == (4, 5)
    assert [cell.source for cell in notebook.cells] == [cell.source for cell in CELLS]


def test_jupyters_own_writer_would_save_the_same_bytes() -> None:
    text = notebook_text(CELLS)
    assert nbformat.writes(nbformat.reads(text, as_version=4)) + "\n" == text


def test_cells_have_no_outputs_and_no_version_of_a_machine() -> None:
    notebook = json.loads(notebook_text(CELLS))
    assert notebook["cells"][1]["outputs"] == []
    assert notebook["cells"][1]["execution_count"] is None
    assert notebook["metadata"]["language_info"] == {"name": "python"}


def test_the_same_cells_give_the_same_text() -> None:
    assert notebook_text(CELLS) == notebook_text(CELLS)


def test_letters_beyond_ascii_are_written_as_they_are(tmp_path: Path) -> None:
    write_new(tmp_path / "a.ipynb", notebook_text(CELLS))
    assert "Ω and µ" in (tmp_path / "a.ipynb").read_text(encoding="utf-8")


def test_a_file_that_exists_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "a.ipynb"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError):
        write_new(path, "other")
    assert path.read_text(encoding="utf-8") == "mine"
    assert [each.name for each in tmp_path.iterdir()] == ["a.ipynb"]


def test_a_link_that_leads_nowhere_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "a.ipynb"
    path.symlink_to(tmp_path / "gone")
    with pytest.raises(FileExistsError):
        write_new(path, "other")
    assert path.is_symlink()


@pytest.mark.parametrize("where", ["fsync", "link"])
def test_an_interrupted_write_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: str) -> None:
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, where, interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_new(tmp_path / "a.ipynb", "text")
    assert list(tmp_path.iterdir()) == []


def no_links(*_: object, **__: object) -> None:
    raise OSError(95, "Operation not supported")


def test_a_file_system_without_hard_links_will_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "link", no_links)
    path = tmp_path / "a.ipynb"
    write_new(path, "text")
    assert path.read_text(encoding="utf-8") == "text"
    with pytest.raises(FileExistsError):
        write_new(path, "other")
    assert path.read_text(encoding="utf-8") == "text"
