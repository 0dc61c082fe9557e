"""The demo manual in a folder of its own, and its facts cells."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from authorkit.desk.book_state import BookState
from authorkit.desk.located import Located, Origin, locate


@pytest.fixture(scope="session")
def facts_of(repo_root: Path) -> dict[str, str]:
    """The text of each chapter's facts cell by the file of its notebook."""
    found = {}
    for path in sorted((repo_root / "chapters").glob("[A-Z]*.ipynb")):
        cells = ("".join(cell["source"]) for cell in json.loads(path.read_text(encoding="utf-8"))["cells"])
        found[f"chapters/{path.name}"] = next(cell for cell in cells if cell.startswith("%%facts"))
    return found


def copy_of_the_demo(repo_root: Path, folder: Path) -> Path:
    """The demo manual's notebooks, figures and recipe, without what was built."""
    for name in ("chapters", "figures"):
        shutil.copytree(repo_root / name, folder / name, ignore=shutil.ignore_patterns(".ipynb_checkpoints"))
    (folder / "build").mkdir()
    shutil.copy(repo_root / "build" / "manual.yaml", folder / "build")
    return folder


@pytest.fixture
def manual(repo_root: Path, tmp_path: Path) -> Path:
    """A copy that a test may write to."""
    return copy_of_the_demo(repo_root, tmp_path)


@pytest.fixture(scope="session")
def shared_state(repo_root: Path, tmp_path_factory: pytest.TempPathFactory) -> BookState:
    """The book of a copy that no test writes to."""
    return BookState(copy_of_the_demo(repo_root, tmp_path_factory.mktemp("desk")))


@pytest.fixture
def typed(shared_state: BookState, facts_of: dict[str, str]) -> Callable[..., Located]:
    """A function that finds the cell of a chapter with words of it replaced."""

    def find(code: str, *changes: tuple[str, str]) -> Located:
        source = facts_of[f"chapters/{code}.ipynb"]
        for old, new in changes:
            assert old in source
            source = source.replace(old, new, 1)
        return locate(shared_state, source, Origin())

    return find
