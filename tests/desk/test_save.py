"""Writing over a file of the author's: whole or not at all, and never over somebody else's edit."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from authorkit.desk.save import NotSavedError, replace_text


def test_the_new_text_has_the_mode_of_the_old_one_and_nothing_else_is_left(tmp_path: Path) -> None:
    file = tmp_path / "a.ipynb"
    file.write_bytes(b"old")
    file.chmod(0o640)
    replace_text(file, b"old", "new \u00b5\n")
    assert file.read_bytes() == "new \u00b5\n".encode()
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [file]


def test_a_link_stays_a_link_and_the_file_it_leads_to_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    real, link = tmp_path / "real" / "a.ipynb", tmp_path / "a.ipynb"
    real.write_bytes(b"old")
    link.symlink_to(real)
    replace_text(link, b"old", "new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda file: file.chmod(0o444), "read-only"),
        (lambda file: file.write_bytes(b"saved meanwhile"), "another program"),
        (lambda file: file.unlink(), "No such file"),
    ],
)
def test_a_file_is_left_as_it_is_and_the_reason_told(tmp_path: Path, spoil, says) -> None:
    file = tmp_path / "a.ipynb"
    file.write_bytes(b"old")
    spoil(file)
    before = file.read_bytes() if file.exists() else None
    with pytest.raises(NotSavedError, match=says):
        replace_text(file, b"old", "new")
    assert (file.read_bytes() if file.exists() else None) == before
    assert [path.name for path in tmp_path.iterdir()] == (["a.ipynb"] if before is not None else [])


def test_a_disk_that_refuses_leaves_the_old_file(tmp_path: Path, monkeypatch) -> None:
    file = tmp_path / "a.ipynb"
    file.write_bytes(b"old")

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NotSavedError, match="No space left"):
        replace_text(file, b"old", "new")
    assert file.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [file]
