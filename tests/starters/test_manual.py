"""A new manual: it passes its own checks, and making it never costs anybody a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import nbformat
import pytest

from authorkit.checks.run import Findings
from authorkit.circuit.harness import build_harness
from authorkit.facts.read_book import read_book
from authorkit.starters import manual as room
from authorkit.starters.error import StarterError
from authorkit.starters.manual import make_manual
from authorkit.starters.notebook import write_new

Check = Callable[[Path], Findings]
FILES = [
    "build/manual.yaml",
    "chapters/P0118.ipynb",
    "chapters/front-1-safety.ipynb",
    "chapters/vehicle.ipynb",
    "figures/.gitkeep",
]


def files_in(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_it_has_a_vehicle_a_chapter_a_front_page_a_folder_for_figures_and_a_recipe(made: Path) -> None:
    assert files_in(made) == FILES


def test_its_only_findings_are_notes_of_what_is_to_do(made: Path, check: Check) -> None:
    findings = check(made)
    assert {problem.rule for problem in findings.open} == {"todo-left"}
    assert findings.accepted == ()


def test_the_waiting_time_is_marked_as_invented(made: Path, check: Check) -> None:
    book, _ = read_book(made)
    assert book is not None
    (entry,) = book.vehicle.high_voltage
    assert entry.waiting_source.startswith("TODO: this time is invented")
    marked = {(problem.place.file, problem.message) for problem in check(made).open}
    assert any(file == "chapters/vehicle.ipynb" and "this time is invented" in message for file, message in marked)


def test_the_worked_chapter_holds_no_note(made: Path, check: Check) -> None:
    assert [problem for problem in check(made).open if problem.place.file == "chapters/P0118.ipynb"] == []


def test_the_vehicle_is_small_but_complete(made: Path) -> None:
    book, _ = read_book(made)
    assert book is not None
    vehicle = book.vehicle
    assert vehicle.series_ids == ("A", "B")
    kinds = {part.kind for part in vehicle.wiring.parts}
    assert {"module", "fuse box", "battery", "component"} <= kinds
    for records in (vehicle.systems, vehicle.tools, vehicle.terms, vehicle.codes, vehicle.wiring.networks):
        assert records
    assert {feed.live for feed in vehicle.wiring.feeds} == {"always", "key on"}
    assert all(connector.rows for connector in build_harness(book).whole_connectors.values())


def test_every_notebook_is_valid_by_jupyters_own_schema(made: Path) -> None:
    for path in sorted((made / "chapters").iterdir()):
        nbformat.validate(nbformat.read(path, as_version=nbformat.NO_CONVERT))


def test_it_is_the_same_every_time(made: Path, tmp_path: Path) -> None:
    make_manual(tmp_path / "again")
    for file in FILES:
        assert (tmp_path / "again" / file).read_bytes() == (made / file).read_bytes()


@pytest.mark.parametrize("name", ["O'Brien: the van", "Ünïcode Ω 3", "$code {part:X}", "- [a, b] #1", "# heading"])
def test_any_printable_name_survives(name: str, tmp_path: Path) -> None:
    make_manual(tmp_path, name)
    book, problems = read_book(tmp_path)
    assert book is not None
    assert (book.vehicle.name, list(problems)) == (name, [])
    assert book.recipe.title == f"{name}: diagnosis"


@pytest.mark.parametrize("name", ["", "   ", "two\nlines", "x" * 81, "\x00"])
def test_a_name_that_cannot_be_printed_is_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(StarterError, match="name of the vehicle must be 1 to 80 printable characters"):
        make_manual(tmp_path / "new", name)
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("file", [name for name in FILES if name != "figures/.gitkeep"])
def test_a_file_in_the_way_is_named_and_nothing_is_written(file: str, tmp_path: Path) -> None:
    path = tmp_path / file
    path.parent.mkdir(parents=True)
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(StarterError, match=r"already .*nothing was written") as caught:
        make_manual(tmp_path)
    assert file in str(caught.value)
    assert files_in(tmp_path) == [file]
    assert path.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_holds_other_things_may_be_used(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    (tmp_path / "chapters").mkdir()
    make_manual(tmp_path)
    assert files_in(tmp_path) == sorted([*FILES, "notes.txt"])


def test_a_file_instead_of_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "manual").write_text("mine", encoding="utf-8")
    with pytest.raises(StarterError, match="is a file"):
        make_manual(tmp_path / "manual")


@pytest.mark.parametrize("stopped_at", range(5))
def test_an_interrupted_making_leaves_only_what_was_there(
    stopped_at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "chapters").mkdir()
    (tmp_path / "chapters" / "mine.txt").write_text("mine", encoding="utf-8")
    calls = 0

    def interrupted(path: Path, text: str) -> None:
        nonlocal calls
        calls += 1
        if calls > stopped_at:
            raise KeyboardInterrupt
        write_new(path, text)

    monkeypatch.setattr(room, "write_new", interrupted)
    with pytest.raises(KeyboardInterrupt):
        make_manual(tmp_path)
    assert sorted(path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*")) == [
        "chapters",
        "chapters/mine.txt",
    ]


def test_a_new_folder_disappears_again_if_making_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, text: str) -> None:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(room, "write_new", full)
    with pytest.raises(OSError, match="No space left"):
        make_manual(tmp_path / "deep" / "new")
    assert list(tmp_path.iterdir()) == []
