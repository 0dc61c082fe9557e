"""`authorkit init`: a manual that can be checked and built at once, and refusals in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, main


def one_sentence(text: str) -> str:
    """What stands on standard error: one line that begins with the program's name and ends with a full stop."""
    assert text.startswith("authorkit: ")
    assert text.endswith(".\n")
    assert text.count("\n") == 1
    return text


def test_the_files_are_named_and_the_new_manual_checks_clean(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "my manual"
    assert main(["init", str(folder), "--name", "Handcart 3"]) == CLEAN
    lines = capsys.readouterr().out.splitlines()
    assert [line for line in lines[:-1] if not Path(line).is_file()] == []
    assert lines[-1] == f"Next: authorkit check --manual {folder}"
    assert main(["check", "--manual", str(folder)]) == CLEAN
    out = capsys.readouterr().out
    assert ": error: " not in out
    assert out.count(": warning: ") == out.count("[todo-left]") > 0


@pytest.mark.slow
def test_the_new_manual_builds_as_html_and_pdf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["init", str(tmp_path), "--name", "Handcart 3"])
    assert main(["build", "--manual", str(tmp_path)]) == CLEAN
    out = tmp_path / "build" / "out"
    assert "Handcart 3" in (out / "html" / "index.html").read_text(encoding="utf-8")
    assert (out / "manual-a4.pdf").read_bytes().startswith(b"%PDF-")
    assert capsys.readouterr().err == ""


def test_a_folder_that_holds_a_manual_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["init", str(tmp_path)])
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    capsys.readouterr()
    assert main(["init", str(tmp_path), "--name", "Other"]) == COULD_NOT_RUN
    captured = capsys.readouterr()
    assert captured.out == ""
    assert f"There is a manual in {tmp_path} already" in one_sentence(captured.err)
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_bad_name_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["init", str(tmp_path / "new"), "--name", " "]) == COULD_NOT_RUN
    assert "name of the vehicle" in one_sentence(capsys.readouterr().err)
    assert not (tmp_path / "new").exists()


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    assert main(["init", str(tmp_path / "file" / "below")]) == COULD_NOT_RUN
    assert str(tmp_path / "file") in capsys.readouterr().err
