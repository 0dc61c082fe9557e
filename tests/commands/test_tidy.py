"""`authorkit tidy`: what it changes, what it leaves alone, and that an edit is then one line of a comparison."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest
import yaml

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS, main


def _run_in_jupyter(path: Path, count: int) -> None:
    """What a session in an editor leaves in a notebook."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            cell["execution_count"] = count
            cell["outputs"] = [{"name": "stdout", "output_type": "stream", "text": [f"run {count}\n"]}]
    notebook["metadata"]["language_info"] = {"name": "python", "version": f"3.{count}"}
    path.write_text(json.dumps(notebook, indent=2) + "\n", encoding="utf-8")


@pytest.fixture
def chapter(small: Path) -> Path:
    return small / "chapters" / "P0118.ipynb"


def test_a_new_manual_is_in_order(small, capsys):
    before = {path: path.stat().st_mtime_ns for path in (small / "chapters").iterdir()}
    assert main(["tidy", "--check", "--manual", str(small)]) == CLEAN
    assert main(["tidy", "--manual", str(small)]) == CLEAN
    assert "0 tidied" in capsys.readouterr().out
    assert {path: path.stat().st_mtime_ns for path in (small / "chapters").iterdir()} == before


def test_what_a_session_left_goes_and_the_bytes_are_the_old_ones(small, chapter, capsys):
    before = chapter.read_bytes()
    _run_in_jupyter(chapter, 7)
    assert main(["tidy", "--manual", str(small)]) == CLEAN
    assert chapter.read_bytes() == before
    told = capsys.readouterr().out
    assert "chapters/P0118.ipynb: tidied: a stored output, an execution count, metadata of one machine" in told


@pytest.mark.parametrize(("option", "code"), [("--dry-run", CLEAN), ("--check", FINDINGS)])
def test_only_saying_writes_nothing(small, chapter, capsys, option, code):
    _run_in_jupyter(chapter, 7)
    before = chapter.read_bytes()
    assert main(["tidy", option, "--manual", str(small)]) == code
    assert chapter.read_bytes() == before
    assert "would be tidied" in capsys.readouterr().out


def test_outputs_may_be_kept(chapter):
    _run_in_jupyter(chapter, 7)
    assert main(["tidy", "--keep-outputs", str(chapter)]) == CLEAN
    texts = [cell.get("outputs") for cell in json.loads(chapter.read_text(encoding="utf-8"))["cells"]]
    assert [{"name": "stdout", "output_type": "stream", "text": ["run 7\n"]}] in texts
    assert main(["tidy", "--check", "--keep-outputs", str(chapter)]) == CLEAN
    assert main(["tidy", "--check", str(chapter)]) == FINDINGS


def test_a_damaged_notebook_is_a_finding_and_the_others_are_put_in_order(small, chapter, capsys):
    _run_in_jupyter(chapter, 7)
    bad = small / "chapters" / "P0A78.ipynb"
    bad.write_text('{"cells": [], "cells": [1], "nbformat": 4}', encoding="utf-8")
    before = bad.read_bytes()
    assert main(["tidy", "--manual", str(small)]) == FINDINGS
    printed = capsys.readouterr()
    assert "chapters/P0A78.ipynb: error: " in printed.err
    assert "[notebook-damaged]" in printed.err
    assert bad.read_bytes() == before
    assert "1 tidied" in printed.out
    assert "1 damaged and left alone" in printed.out


def test_a_read_only_notebook_is_left_alone_and_named(small, chapter, capsys):
    _run_in_jupyter(chapter, 7)
    chapter.chmod(0o444)
    before = chapter.read_bytes()
    assert main(["tidy", "--manual", str(small)]) == COULD_NOT_RUN
    assert "chapters/P0118.ipynb was left as it is: it is read-only." in capsys.readouterr().err
    assert chapter.read_bytes() == before


def test_a_folder_stands_for_its_notebooks_without_checkpoints(small, chapter, capsys, monkeypatch):
    monkeypatch.chdir(small)
    hidden = small / "chapters" / ".ipynb_checkpoints" / "P0118-checkpoint.ipynb"
    hidden.parent.mkdir()
    hidden.write_bytes(chapter.read_bytes())
    _run_in_jupyter(hidden, 3)
    before = hidden.read_bytes()
    assert main(["tidy", "chapters"]) == CLEAN
    assert hidden.read_bytes() == before
    assert f"{len(list(small.glob('chapters/*.ipynb')))} notebooks" in capsys.readouterr().out


def test_a_file_that_is_not_there_is_a_finding(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["tidy", "P0999.ipynb"]) == FINDINGS
    assert "[file-missing]" in capsys.readouterr().err


def test_after_tidying_one_edited_value_is_one_line_of_the_comparison(small, chapter, edit):
    def git(*words: str) -> str:
        who = ["-c", "user.name=Demo author", "-c", "user.email=author@example.org", "-c", "core.autocrlf=false"]
        environment = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
        command = ["git", *who, *words]
        return subprocess.run(command, cwd=small, check=True, capture_output=True, text=True, env=environment).stdout

    git("init", "--quiet")
    git("add", "chapters")
    git("commit", "--quiet", "-m", "First")
    edit(small, "P0118", "trips: 2", "trips: 3")
    _run_in_jupyter(chapter, 9)
    assert int(git("diff", "--numstat").split()[0]) > 10
    assert main(["tidy", "--manual", str(small)]) == CLEAN
    assert git("diff", "--numstat").split() == ["1", "1", "chapters/P0118.ipynb"]


def test_the_hook_of_pre_commit_runs_this_command(repo_root):
    hooks = {hook["id"]: hook for hook in yaml.safe_load((repo_root / ".pre-commit-hooks.yaml").read_text())}
    assert hooks["authorkit-tidy"]["entry"] == "authorkit tidy"
    assert hooks["authorkit-tidy"]["types"] == ["jupyter"]
    assert "pass_filenames" not in hooks["authorkit-tidy"]  # pre-commit names the notebooks that are committed
