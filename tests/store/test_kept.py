"""Files kept by key: never trusted blindly, never half written, never without bound."""

from __future__ import annotations

import os
import pickle
import shutil
import threading
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest

from authorkit.store import KeptFiles
from authorkit.store.kept import prune


def entries(folder: Path) -> set[str]:
    return {path.stem for path in folder.glob("*.kept")}


def test_what_was_put_is_got_by_anyone_with_the_folder(tmp_path: Path) -> None:
    KeptFiles(tmp_path / "new").put("a", b"one\x00")
    again = KeptFiles(tmp_path / "new")
    assert again.get("a") == b"one\x00"
    assert again.get("b") is None
    assert "a" in again
    assert "b" not in again
    again.put("a", b"")
    assert again.get("a") == b""


def test_without_a_folder_nothing_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    none = KeptFiles(None)
    none.put("a", b"x")
    assert none.get("a") is None
    assert "a" not in none
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("bit", range(0, 8 * 36, 7))
def test_an_entry_with_a_wrong_bit_is_absent(tmp_path: Path, bit: int) -> None:
    kept = KeptFiles(tmp_path)
    kept.put("a", b"data")
    (path,) = tmp_path.iterdir()
    data = bytearray(path.read_bytes())
    data[bit // 8] ^= 1 << bit % 8
    path.write_bytes(data)
    assert kept.get("a") is None
    kept.put("a", b"data")
    assert kept.get("a") == b"data"


@pytest.mark.parametrize("length", [0, 1, 31, 32, 35])
def test_an_entry_cut_short_is_absent(tmp_path: Path, length: int) -> None:
    kept = KeptFiles(tmp_path)
    kept.put("a", b"data")
    (path,) = tmp_path.iterdir()
    path.write_bytes(path.read_bytes()[:length])
    assert kept.get("a") is None


def test_what_was_not_used_for_longest_goes_first(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path, limit_bytes=10 * 132)
    for number in range(10):
        kept.put(f"k{number}", b"x" * 100)
        os.utime(tmp_path / f"k{number}.kept", ns=(number, number))
    assert kept.get("k0") is not None  # used just now
    kept.put("new", b"x" * 100)
    assert entries(tmp_path) == {"new", "k0", *(f"k{number}" for number in range(4, 10))}


def test_the_folder_never_grows_much_beyond_its_limit(tmp_path: Path) -> None:
    largest = 0
    for number in range(300):
        KeptFiles(tmp_path, limit_bytes=5000).put(f"k{number}", b"x" * (number % 70))
        largest = max(largest, sum(path.stat().st_size for path in tmp_path.iterdir()))
    assert 4000 < largest <= 5000
    kept = KeptFiles(tmp_path, limit_bytes=5000)
    kept.put("too big", b"x" * 5001)
    assert "too big" not in kept


def test_the_folder_may_be_deleted_at_any_time(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path / "kept")
    kept.put("a", b"x")
    shutil.rmtree(tmp_path / "kept")
    assert kept.get("a") is None
    kept.put("a", b"y")
    assert kept.get("a") == b"y"


def test_what_a_stopped_build_left_half_written_is_swept_away(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path)
    kept.put("a", b"x")
    old, new = tmp_path / "old.aside", tmp_path / "new.aside"
    for path in (old, new):
        path.write_bytes(b"half")
    os.utime(old, ns=(0, 0))
    prune(tmp_path, 10**6)
    assert not old.exists()
    assert new.exists()
    assert kept.get("a") == b"x"


def test_other_files_in_the_folder_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    kept = KeptFiles(tmp_path, limit_bytes=100)
    for number in range(5):
        kept.put(f"k{number}", b"x" * 50)
    assert (tmp_path / "notes.txt").read_text() == "mine"


def test_a_full_disk_costs_only_the_entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    KeptFiles(tmp_path).put("a", b"x")
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_is_full_while_writing_costs_only_the_entry(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def on_full(dir: Path, suffix: str) -> tuple[int, str]:
        name = dir / f"x{suffix}"
        name.touch()
        return os.open("/dev/full", os.O_WRONLY), str(name)

    monkeypatch.setattr("authorkit.store.kept.tempfile.mkstemp", on_full)
    KeptFiles(tmp_path).put("a", b"x")
    assert list(tmp_path.iterdir()) == []


def test_a_file_where_the_folder_should_be_costs_only_the_entry(tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("in the way")
    kept = KeptFiles(tmp_path / "kept")
    kept.put("a", b"x")
    assert kept.get("a") is None
    assert (tmp_path / "kept").read_text() == "in the way"


def test_several_builds_at_once_never_read_half_an_entry(tmp_path: Path) -> None:
    whole = {bytes([letter]) * 50_000 for letter in b"abcd"}
    seen: set[bytes | None] = set()

    def work(data: bytes) -> None:
        kept = KeptFiles(tmp_path, limit_bytes=120_000)
        for number in range(40):
            kept.put("same", data)
            kept.put(f"{data[:1].decode()}{number}", data)
            seen.add(kept.get("same"))

    threads = [threading.Thread(target=work, args=(data,)) for data in whole]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert seen <= {*whole, None}
    assert seen & whole
    assert not list(tmp_path.glob("*.aside"))


def test_it_may_be_handed_to_another_process(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        pool.submit(kept.put, "a", b"there").result()
    assert kept.get("a") == b"there"
    assert pickle.loads(pickle.dumps(kept)).folder == tmp_path
