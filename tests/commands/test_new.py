"""`authorkit new`: a chapter, the list of kinds, and refusals in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, main
from authorkit.starters.kinds import KINDS

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def started(tmp_path: Path, capsys: Capture) -> Path:
    """A manual as `init` makes it."""
    folder = tmp_path / "a manual"
    assert main(["init", str(folder)]) == CLEAN
    capsys.readouterr()
    return folder


def new(folder: Path, *words: str) -> int:
    return main(["new", *words, "--manual", str(folder)])


def one_sentence(text: str) -> str:
    assert text.startswith("authorkit: ")
    assert text.endswith(".\n")
    assert text.count("\n") == 1
    return text


def test_the_kinds_are_listed_each_with_a_line_and_without_a_manual(capsys: Capture) -> None:
    assert main(["new", "--list"]) == CLEAN
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == list(KINDS)
    assert all(len(line) < 120 and len(line.split()) > 3 for line in lines)


def test_a_chapter_is_written_and_named(started: Path, capsys: Capture) -> None:
    assert new(started, "P0117", "--circuit", "thermistor") == CLEAN
    captured = capsys.readouterr()
    assert captured.out.splitlines() == [
        str(started / "chapters" / "P0117.ipynb"),
        "Replace what is marked TODO; 'authorkit check' finds every mark.",
    ]
    assert captured.err == ""
    assert (started / "chapters" / "P0117.ipynb").is_file()


def test_the_manual_is_found_from_a_folder_inside_it(started: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(started / "chapters")
    assert main(["new", "P0117", "--circuit", "thermistor"]) == CLEAN
    assert (started / "chapters" / "P0117.ipynb").is_file()


def test_a_code_that_is_not_listed_comes_with_the_row_for_the_code_list(started: Path, capsys: Capture) -> None:
    assert new(started, "P0113", "--circuit", "thermistor", "--module", "M1") == CLEAN
    row = "P0113: {title: Intake air temperature sensor 1 circuit high, set-by: M1}"
    assert f"Add to 'codes' of chapters/vehicle.ipynb: {row}\n" in capsys.readouterr().out


def test_title_module_and_series_are_kept(started: Path) -> None:
    wishes = ("--module", "M2", "--title", "Pad sensor: worn", "--series", "B")
    assert new(started, "C1B00", "--circuit", "switch-to-ground", *wishes) == CLEAN
    text = (started / "chapters" / "C1B00.ipynb").read_text(encoding="utf-8")
    for line in ("title: 'Pad sensor: worn'", "set-by: M2", "series: [B]"):
        assert line in text


def test_a_second_call_keeps_the_first_chapter(started: Path, capsys: Capture) -> None:
    new(started, "P0117", "--circuit", "thermistor")
    path = started / "chapters" / "P0117.ipynb"
    before = path.read_bytes()
    capsys.readouterr()
    assert new(started, "P0117", "--circuit", "switch-to-ground") == COULD_NOT_RUN
    assert "chapter of P0117 already: chapters/P0117.ipynb" in one_sentence(capsys.readouterr().err)
    assert path.read_bytes() == before


def test_a_file_that_is_no_chapter_is_kept_as_well(started: Path, capsys: Capture) -> None:
    path = started / "chapters" / "P0117.ipynb"
    path.write_text("not a notebook", encoding="utf-8")
    assert new(started, "P0117", "--circuit", "thermistor") == COULD_NOT_RUN
    assert f"something at {path} already" in one_sentence(capsys.readouterr().err)
    assert path.read_text(encoding="utf-8") == "not a notebook"


def test_chapters_that_cannot_be_read_are_named_because_their_names_are_unknown(started: Path, capsys: Capture) -> None:
    (started / "chapters" / "P0500.ipynb").write_text("not a notebook", encoding="utf-8")
    assert new(started, "P0117", "--circuit", "thermistor") == CLEAN
    assert "chapters/P0500.ipynb" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["P0117"], "authorkit new CODE --circuit KIND"),
        (["--circuit", "thermistor"], "authorkit new CODE --circuit KIND"),
        (["P117", "--circuit", "thermistor"], "five characters such as P0118, not 4"),
        (["p0117", "--circuit", "thermistor"], "did you mean 'P0117'?"),
        (["P0117", "--circuit", "resolvers"], "Did you mean 'resolver'?"),
        (["P0113", "--circuit", "thermistor", "--module", "M7"], "There is no module 'M7'"),
        (["P0113", "--circuit", "thermistor", "--series", "Z"], "There is no series 'Z'"),
    ],
)
def test_what_cannot_be_made_is_refused_in_one_sentence(
    words: list[str], says: str, started: Path, capsys: Capture
) -> None:
    before = sorted((started / "chapters").iterdir())
    assert new(started, *words) == COULD_NOT_RUN
    captured = capsys.readouterr()
    assert captured.out == ""
    assert says in one_sentence(captured.err)
    assert sorted((started / "chapters").iterdir()) == before


def test_a_folder_without_a_manual_is_named(tmp_path: Path, capsys: Capture) -> None:
    assert new(tmp_path, "P0117", "--circuit", "thermistor") == COULD_NOT_RUN
    assert str(tmp_path) in capsys.readouterr().err


def test_a_vehicle_notebook_that_cannot_be_read_is_named(started: Path, capsys: Capture) -> None:
    (started / "chapters" / "vehicle.ipynb").write_text("{}", encoding="utf-8")
    assert new(started, "P0117", "--circuit", "thermistor") == COULD_NOT_RUN
    assert "vehicle.ipynb cannot be read; 'authorkit check' says why" in one_sentence(capsys.readouterr().err)


@pytest.mark.slow
def test_a_manual_of_all_kinds_builds(started: Path, capsys: Capture) -> None:
    for number, kind in enumerate(KINDS, 1):
        assert new(started, f"P1{number:03}", "--circuit", kind, "--title", f"Circuit number {number}") == CLEAN
    assert main(["build", "--manual", str(started)]) == CLEAN
    out = started / "build" / "out"
    index = (out / "html" / "index.html").read_text(encoding="utf-8")
    assert [title for title in (f"Circuit number {number}" for number in range(1, 13)) if title not in index] == []
    assert (out / "manual-a4.pdf").read_bytes().startswith(b"%PDF-")
