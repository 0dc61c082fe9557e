"""A copy of the demo manual, to be edited at will."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest


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
def edit(manual: Path):
    """Replace a text in the cells of a notebook of the manual."""

    def change(name: str, old: str, new: str) -> None:
        path = manual / "chapters" / f"{name}.ipynb"
        notebook = json.loads(path.read_text(encoding="utf-8"))
        sources = ["".join(cell["source"]) for cell in notebook["cells"]]
        assert sum(source.count(old) for source in sources) >= 1, old
        for cell, source in zip(notebook["cells"], sources, strict=True):
            cell["source"] = source.replace(old, new).splitlines(keepends=True)
        path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")

    return change
