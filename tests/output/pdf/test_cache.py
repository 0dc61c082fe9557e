"""Parts on disk: never trusted blindly, never half written, never without bound."""

from __future__ import annotations

import os
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from authorkit.manual.blocks import Paragraph, words
from authorkit.output.pdf import cache as cache_module
from authorkit.output.pdf import rounds, write_pdf
from authorkit.output.pdf.cache import PartCache, key_of
from authorkit.output.pdf.parts import Layout, Numbers, Part, Spot, Typeset
from tests.output.pdf.samples import one_chapter
from tests.output.sample_manual import sample_manual

MADE = Typeset(Layout(2, {"a": Spot(1, 12.5), "b c": Spot(2, 0.1)}), b"%PDF\n\x00\nend")


def part(**changes: object) -> Part:
    return replace(Part("a", {"page.typ": b"x"}, ("a",), ("z",), (True,), (), 0, 5), **changes)  # type: ignore[arg-type]


def test_a_part_comes_back_as_it_was_kept(tmp_path: Path) -> None:
    PartCache(tmp_path / "new", "a4").keep("key", MADE)
    assert PartCache(tmp_path / "new", "a4").read("key") == MADE
    assert PartCache(tmp_path / "new", "a4").read("other") is None


def test_without_a_folder_nothing_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    none = PartCache(None, "a4")
    none.keep("key", MADE)
    none.settle({"a": "key"})
    assert none.read("key") is None
    assert none.last_layouts([part()]) == [None]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "change",
    [
        {"files": {"page.typ": b"y"}},
        {"files": {"page.typ": b"x", "pictures/p.svg": b"<svg/>"}},
        {"names": ("a", "b")},
        {"row_heads": (False,)},
        {"turned": ("a",)},
        {"contents": 1},
        {"timestamp": 6},
        {"anchor": "b"},
    ],
)
def test_whatever_a_part_is_made_of_changes_its_key(change: dict[str, object]) -> None:
    numbers = Numbers(3, (("z", 9),))
    assert key_of(part(), numbers) == key_of(part(), numbers)
    assert key_of(part(**change), numbers) != key_of(part(), numbers)


def test_its_page_numbers_change_its_key() -> None:
    told = [Numbers(3, (("z", 9),)), Numbers(4, (("z", 9),)), Numbers(3, (("z", 10),))]
    assert len({key_of(part(), numbers) for numbers in told}) == 3


@pytest.mark.parametrize("damage", [b"", b"junk", None, "cut", "flip"])
def test_a_damaged_entry_is_made_anew(tmp_path: Path, damage: bytes | str | None) -> None:
    target, folder = tmp_path / "manual.pdf", tmp_path / "cache"
    assert write_pdf(one_chapter(), target, page_size="a4", cache=folder) == ()
    good = target.read_bytes()
    entries = sorted(folder.glob("*.part"))
    assert len(entries) == 3
    for entry in entries:
        data = entry.read_bytes()
        if damage is None:
            entry.unlink()
        elif damage == "cut":
            entry.write_bytes(data[:-1])
        elif damage == "flip":
            entry.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
        else:
            entry.write_bytes(bytes(damage))  # type: ignore[arg-type]
    assert write_pdf(one_chapter(), target, page_size="a4", cache=folder) == ()
    assert target.read_bytes() == good
    assert all(PartCache(folder, "a4").read(entry.stem) for entry in entries)


@pytest.mark.parametrize("damage", [b"", b"[1]", b"{", b'{"P0123": 5}', b'{"P0123": "../../x"}'])
def test_a_damaged_list_of_the_last_build_costs_only_time(tmp_path: Path, damage: bytes) -> None:
    target, folder = tmp_path / "manual.pdf", tmp_path / "cache"
    assert write_pdf(one_chapter(), target, page_size="a4", cache=folder) == ()
    good = target.read_bytes()
    (folder / "last-a4.json").write_bytes(damage)
    assert write_pdf(one_chapter(), target, page_size="a4", cache=folder) == ()
    assert target.read_bytes() == good


def test_an_entry_of_another_version_is_passed_over(tmp_path: Path) -> None:
    import hashlib

    rest = b'{"leaves": 3}\n%PDF'
    (tmp_path / "key.part").write_bytes(hashlib.sha256(rest).hexdigest().encode() + b"\n" + rest)
    assert PartCache(tmp_path, "a4").read("key") is None


def test_a_folder_that_cannot_be_written_costs_only_time(tmp_path: Path) -> None:
    folder = tmp_path / "a file"
    folder.write_bytes(b"in the way")
    assert write_pdf(one_chapter(), tmp_path / "manual.pdf", page_size="a4", cache=folder) == ()


def test_what_no_build_used_for_long_is_forgotten(tmp_path: Path) -> None:
    store = PartCache(tmp_path, "a4")
    big = replace(MADE, pdf=b"x" * 1000)
    for number in range(20):
        store.keep(f"key{number}", big)
        os.utime(tmp_path / f"key{number}.part", ns=(number, number))
    store.settle({"a": "key3", "b": "key7"})
    # Two of the present build, and four times as many of others: those used last.
    left = {path.stem for path in tmp_path.glob("*.part")}
    assert left == {"key3", "key7", *(f"key{number}" for number in range(12, 20))}


def test_many_edits_do_not_grow_the_folder_without_bound(tmp_path: Path) -> None:
    sizes = []
    for number in range(12):
        manual = one_chapter(Paragraph(words(f"Edit number {number}.")))
        assert write_pdf(manual, tmp_path / "manual.pdf", page_size="a4", cache=tmp_path / "cache") == ()
        sizes.append(sum(path.stat().st_size for path in (tmp_path / "cache").iterdir()))
    assert max(sizes) <= 5.2 * sizes[0]


def test_what_a_stopped_build_left_half_written_is_swept_away(tmp_path: Path) -> None:
    store = PartCache(tmp_path, "a4")
    store.keep("key", MADE)
    old, new = tmp_path / "old.aside", tmp_path / "new.aside"
    for path in (old, new):
        path.write_bytes(b"half")
    os.utime(old, ns=(0, 0))
    store.settle({"a": "key"})
    assert not old.exists()
    assert new.exists()


def test_no_half_entry_is_left_when_the_disk_is_full(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    PartCache(tmp_path, "a4").keep("key", MADE)
    assert list(tmp_path.iterdir()) == []


def test_a_new_version_of_a_library_makes_every_part_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    before = key_of(part(), Numbers(1, ()))
    monkeypatch.setattr(cache_module, "version", lambda name: "0.0.1")
    cache_module._maker.cache_clear()
    try:
        assert key_of(part(), Numbers(1, ())) != before
    finally:
        monkeypatch.undo()
        cache_module._maker.cache_clear()


def test_two_builds_at_once_share_the_folder(tmp_path: Path) -> None:
    manuals = [sample_manual(), one_chapter(Paragraph(words("Another one.")))]
    alone = []
    for number, manual in enumerate(manuals):
        assert write_pdf(manual, tmp_path / f"alone{number}.pdf", page_size="a4") == ()
        alone.append((tmp_path / f"alone{number}.pdf").read_bytes())

    def build(number: int) -> None:
        for _ in range(3):
            write_pdf(manuals[number], tmp_path / f"{number}.pdf", page_size="a4", cache=tmp_path / "cache")

    threads = [threading.Thread(target=build, args=(number,)) for number in (0, 1)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [(tmp_path / f"{number}.pdf").read_bytes() for number in (0, 1)] == alone


def test_a_part_with_a_fault_is_not_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("authorkit.output.pdf.write.print_problems", lambda *_: ())
    bad = one_chapter(Paragraph(words("A ☃ here.")))
    for _ in range(2):
        assert len(write_pdf(bad, tmp_path / "manual.pdf", page_size="a4", cache=tmp_path / "cache")) == 1
    kept = [rounds.key_of.__name__, *sorted(path.name for path in (tmp_path / "cache").glob("*.part"))]
    assert len(kept) == 1 + 2  # the title page and the index
