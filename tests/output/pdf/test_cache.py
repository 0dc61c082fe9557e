"""Parts on disk: never trusted blindly, never half written, never without bound."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path

import pytest

from authorkit.manual.blocks import Paragraph, words
from authorkit.output.pdf import write_pdf
from authorkit.output.pdf.cache import PartCache, key_of
from authorkit.output.pdf.parts import Layout, Numbers, Part, Spot, Typeset
from authorkit.store import KeptFiles, packed
from tests.output.pdf.samples import one_chapter
from tests.output.sample_manual import sample_manual

MADE = Typeset(Layout(2, {"a": Spot(1, 12.5), "b c": Spot(2, 0.1)}), b"%PDF\n\x00\nend")


def stored(folder: Path | None) -> PartCache:
    return PartCache(KeptFiles(folder), "a4")


def part(**changes: object) -> Part:
    return replace(Part("a", {"page.typ": b"x"}, ("a",), ("z",), (True,), (), 0, 5), **changes)  # type: ignore[arg-type]


def test_a_part_comes_back_as_it_was_kept(tmp_path: Path) -> None:
    stored(tmp_path / "new").keep("key", MADE)
    assert stored(tmp_path / "new").read("key") == MADE
    assert stored(tmp_path / "new").read("other") is None


def test_without_a_folder_nothing_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    none = stored(None)
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
    assert write_pdf(one_chapter(), target, page_size="a4", kept=KeptFiles(folder)) == ()
    good = target.read_bytes()
    entries = [path for path in folder.iterdir() if not path.stem.startswith("last")]
    assert len(entries) == 2 * 3  # a file and a layout each
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
    assert write_pdf(one_chapter(), target, page_size="a4", kept=KeptFiles(folder)) == ()
    assert target.read_bytes() == good
    assert all(KeptFiles(folder).get(entry.stem) for entry in entries)


@pytest.mark.parametrize("damage", [b"", b"[1]", b"{", b'{"P0123": 5}', b'{"P0123": "../../x"}', b'{"P0123": "a"}'])
def test_a_damaged_list_of_the_last_build_costs_only_time(tmp_path: Path, damage: bytes) -> None:
    target, folder = tmp_path / "manual.pdf", tmp_path / "cache"
    assert write_pdf(one_chapter(), target, page_size="a4", kept=KeptFiles(folder)) == ()
    good = target.read_bytes()
    KeptFiles(folder).put("last-a4", damage)
    assert write_pdf(one_chapter(), target, page_size="a4", kept=KeptFiles(folder)) == ()
    assert target.read_bytes() == good


@pytest.mark.parametrize("layout", [b"", b"junk", packed("no layout")])
def test_an_entry_that_holds_no_layout_is_passed_over(tmp_path: Path, layout: bytes) -> None:
    stored(tmp_path).keep("key", MADE)
    KeptFiles(tmp_path).put("key-layout", layout)
    assert stored(tmp_path).read("key") is None


def test_parts_that_are_gone_leave_the_list_of_the_last_build(tmp_path: Path) -> None:
    store = stored(tmp_path)
    store.keep("key", MADE)
    store.settle({"a": "key", "b": "gone"})
    assert KeptFiles(tmp_path).get("last-a4") == b'{"a": "key"}'


def test_a_folder_that_cannot_be_written_costs_only_time(tmp_path: Path) -> None:
    folder = tmp_path / "a file"
    folder.write_bytes(b"in the way")
    assert write_pdf(one_chapter(), tmp_path / "manual.pdf", page_size="a4", kept=KeptFiles(folder)) == ()


def test_two_builds_at_once_share_the_folder(tmp_path: Path) -> None:
    manuals = [sample_manual(), one_chapter(Paragraph(words("Another one.")))]
    alone = []
    for number, manual in enumerate(manuals):
        assert write_pdf(manual, tmp_path / f"alone{number}.pdf", page_size="a4") == ()
        alone.append((tmp_path / f"alone{number}.pdf").read_bytes())

    def build(number: int) -> None:
        for _ in range(3):
            write_pdf(manuals[number], tmp_path / f"{number}.pdf", page_size="a4", kept=KeptFiles(tmp_path / "cache"))

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
        assert len(write_pdf(bad, tmp_path / "manual.pdf", page_size="a4", kept=KeptFiles(tmp_path / "cache"))) == 1
    assert len(list((tmp_path / "cache").glob("*-pdf.kept"))) == 2  # the title page and the index
