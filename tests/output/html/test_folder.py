from __future__ import annotations

import stat
from pathlib import Path

import pytest

from authorkit.output.html import folder as html_folder
from authorkit.output.html.folder import GENERATOR, may_replace, write_folder

FILES = {"index.html": GENERATOR.encode(), "assets/deep/x.js": b"x"}


def tree(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_new_folder_holds_exactly_the_files_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    write_folder(tmp_path / "deep" / "manual", FILES)
    assert tree(tmp_path / "deep" / "manual") == FILES
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["manual"]


def test_others_may_read_the_folder(tmp_path: Path) -> None:
    write_folder(tmp_path / "manual", FILES)
    plain = tmp_path / "plain"
    plain.mkdir()
    assert stat.S_IMODE((tmp_path / "manual").stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)


def test_an_earlier_manual_is_replaced_as_a_whole(tmp_path: Path) -> None:
    write_folder(tmp_path / "manual", {**FILES, "P0117.html": b"old"})
    write_folder(tmp_path / "manual", FILES)
    assert tree(tmp_path / "manual") == FILES
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("failing", ["write", "swap"])
def test_a_failure_leaves_the_earlier_manual_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    target = tmp_path / "manual"
    write_folder(target, FILES)
    broken_name = "b/" + "x" * 300  # longer than file systems take
    files = {"index.html": b"new", broken_name: b""} if failing == "write" else {"index.html": b"new"}
    if failing == "swap":
        rename = Path.rename

        def refuse(path: Path, to: Path) -> Path:
            if path.name == "new":
                raise OSError("disk is gone")
            return rename(path, to)

        monkeypatch.setattr(html_folder.Path, "rename", refuse)
    with pytest.raises(OSError, match=r"disk is gone|too long"):
        write_folder(target, files)
    monkeypatch.undo()
    assert tree(target) == FILES
    assert [path.name for path in tmp_path.iterdir()] == ["manual"]


def test_a_link_to_a_folder_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    write_folder(tmp_path / "link", FILES)
    assert (tmp_path / "link").is_symlink()
    assert tree(tmp_path / "real") == FILES


def test_only_an_absent_an_empty_or_an_own_folder_may_be_replaced(tmp_path: Path) -> None:
    own, empty, foreign, file = (tmp_path / name for name in ("own", "empty", "foreign", "file"))
    write_folder(own, FILES)
    empty.mkdir()
    foreign.mkdir()
    (foreign / "index.html").write_text("<title>holiday</title>")
    file.touch()
    assert [may_replace(path) for path in (tmp_path / "absent", own, empty, foreign, file)] == [
        True,
        True,
        True,
        False,
        False,
    ]
