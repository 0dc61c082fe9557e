"""Books to start from: a manual as `init` makes it, the demo manual, and a vehicle that offers next to nothing."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from authorkit.checks.run import Findings, check_book
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.starters.chapter import NewChapter, new_chapter
from authorkit.starters.identity import Wish
from authorkit.starters.manual import make_manual
from authorkit.starters.notebook import Cell, notebook_text, write_new

Make = Callable[..., NewChapter]


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A manual as `init` makes it, for reading only."""
    folder = tmp_path_factory.mktemp("made") / "manual"
    make_manual(folder)
    return folder


@pytest.fixture
def manual(made: Path, tmp_path: Path) -> Path:
    """The same, to be written into."""
    return Path(shutil.copytree(made, tmp_path / "manual"))


@pytest.fixture
def demo(repo_root: Path, tmp_path: Path) -> Path:
    """A copy of the demo manual."""
    for name in ("chapters", "figures"):
        shutil.copytree(repo_root / name, tmp_path / name)
    (tmp_path / "build").mkdir()
    shutil.copy(repo_root / "build" / "manual.yaml", tmp_path / "build")
    return tmp_path


@pytest.fixture
def vehicle(tmp_path: Path) -> Callable[[str], Path]:
    """A manual with nothing but a vehicle notebook that holds these facts."""

    def write(facts: str) -> Path:
        folder = tmp_path / "tiny"
        (folder / "chapters").mkdir(parents=True)
        (folder / "build").mkdir()
        (folder / "build" / "manual.yaml").write_text("title: Tiny\ndate: 2026-03-04\n", encoding="utf-8")
        start = "vehicle: {name: Tiny, description: a cart, invented: It does not exist.}\nsystems: [Drive]\n"
        cell = Cell("code", "facts", f"%%facts\n{start}{facts}")
        write_new(folder / "chapters" / "vehicle.ipynb", notebook_text([cell]))
        return folder

    return write


def read(folder: Path) -> Book:
    book, problems = read_book(folder)
    assert book is not None
    assert [problem for problem in problems if problem.severity == "error"] == []
    return book


@pytest.fixture
def make() -> Make:
    """Make a chapter in a manual and write it; gives the chapter as it was made."""

    def write(folder: Path, code: str, kind: str, **wishes: object) -> NewChapter:
        made = new_chapter(read(folder), Wish(code, kind, **wishes))  # type: ignore[arg-type]
        write_new(folder / made.file, made.text)
        return made

    return write


@pytest.fixture
def check() -> Callable[[Path], Findings]:
    """All findings about a manual."""

    def findings(folder: Path) -> Findings:
        return check_book(*read_book(folder))

    return findings


@pytest.fixture
def chapter_of() -> Callable[[Path, str], Chapter]:
    """Read one chapter of a manual."""

    def chapter(folder: Path, code: str) -> Chapter:
        found = read(folder).chapter(code)
        assert found is not None
        return found

    return chapter
