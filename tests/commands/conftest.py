"""A copy of the demo manual and a small manual of two chapters, to be edited at will."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from authorkit.commands import CLEAN, main


@pytest.fixture
def manual(tmp_path: Path, repo_root: Path) -> Path:
    folder = tmp_path / "a manual with spaces"
    for name in ("chapters", "figures"):
        shutil.copytree(repo_root / name, folder / name)
    (folder / "build").mkdir()
    (folder / "build" / "manual.yaml").write_text(
        "title: A small manual\nedition: '1'\ndate: 2026-11-02\npage-sizes: [a4]\nseries: [A, B]\n"
        "classes: {sensors: [P0118, P0532]}\n",
        encoding="utf-8",
    )
    return folder


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """What `init` makes, with a high-voltage chapter that `new` makes."""
    folder = tmp_path / "small manual"
    assert main(["init", str(folder)]) == CLEAN
    assert main(["new", "P0A78", "--circuit", "motor-phases", "--manual", str(folder)]) == CLEAN
    return folder


@pytest.fixture
def edit():
    """Replace a text in the cells of a notebook of a manual."""

    def change(manual: Path, name: str, old: str, new: str) -> None:
        path = manual / "chapters" / f"{name}.ipynb"
        notebook = json.loads(path.read_text(encoding="utf-8"))
        sources = ["".join(cell["source"]) for cell in notebook["cells"]]
        assert sum(source.count(old) for source in sources) >= 1, old
        for cell, source in zip(notebook["cells"], sources, strict=True):
            cell["source"] = source.replace(old, new).splitlines(keepends=True)
        path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")

    return change
