"""Only what changed is typeset again, and every page number is right afterwards."""

from __future__ import annotations

import re
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

import pytest

from authorkit.manual.blocks import Block, Heading, Link, Manual, Page, Paragraph, words
from authorkit.output.pdf import page_map, rounds, write_pdf
from authorkit.output.pdf.parts import Layout, Numbers, Outcome, Part, Spot, Typeset, first_pages, numbers_for, places
from authorkit.store import KeptFiles
from tests.output.pdf.reading import links, page_texts
from tests.output.sample_manual import sample_manual


class Counted:
    """The anchors of the parts that were laid out and typeset since the last look."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.laid_out: list[str] = []
        self.typeset: list[str] = []
        lay_out, typeset = rounds.lay_out, rounds.typeset

        def counted_lay_out(part: Part, numbers: Numbers) -> Layout | None:
            self.laid_out.append(part.anchor)
            return lay_out(part, numbers)

        def counted_typeset(part: Part, numbers: Numbers) -> Outcome:
            self.typeset.append(part.anchor)
            return typeset(part, numbers)

        monkeypatch.setattr(rounds, "lay_out", counted_lay_out)
        monkeypatch.setattr(rounds, "typeset", counted_typeset)

    def look(self) -> tuple[list[str], list[str]]:
        seen = sorted(self.laid_out), sorted(self.typeset)
        self.laid_out.clear()
        self.typeset.clear()
        return seen


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Counted:
    return Counted(monkeypatch)


def with_more(manual: Manual, anchor: str, *blocks: Block) -> Manual:
    """The manual with blocks added at the end of one page."""
    pages = (replace(page, blocks=(*page.blocks, *blocks)) if page.anchor == anchor else page for page in manual.pages)
    return replace(manual, pages=tuple(pages))


def build(manual: Manual, folder: Path, page_size: str = "a4") -> bytes:
    target = folder / "manual.pdf"
    assert write_pdf(manual, target, page_size=page_size, kept=KeptFiles(folder / "cache")) == ()  # type: ignore[arg-type]
    return target.read_bytes()


ALL = sorted(page.anchor for page in sample_manual().pages)


def test_the_first_build_lays_everything_out_once_and_typesets_it_once(tmp_path: Path, counted: Counted) -> None:
    build(sample_manual(), tmp_path)
    assert counted.look() == (ALL, ALL)


def test_a_build_without_a_change_typesets_nothing_and_gives_the_same_bytes(tmp_path: Path, counted: Counted) -> None:
    first = build(sample_manual(), tmp_path)
    counted.look()
    assert build(sample_manual(), tmp_path) == first
    assert counted.look() == ([], [])


def test_one_edit_typesets_one_part_and_gives_the_bytes_of_a_build_from_nothing(
    tmp_path: Path, counted: Counted
) -> None:
    build(sample_manual(), tmp_path)
    counted.look()
    edited = with_more(sample_manual(), "P0117", Paragraph(words("One more sentence.")))
    again = build(edited, tmp_path)
    assert counted.look() == ([], ["P0117"])
    assert "One more sentence." in " ".join(page_texts(tmp_path / "manual.pdf"))
    (tmp_path / "fresh").mkdir()
    assert build(edited, tmp_path / "fresh") == again


def test_a_new_heading_does_not_ask_for_more_than_its_own_part(tmp_path: Path, counted: Counted) -> None:
    build(sample_manual(), tmp_path)
    counted.look()
    build(with_more(sample_manual(), "P0117", Heading(2, "A new section"), Paragraph(words("Words."))), tmp_path)
    assert counted.look() == ([], ["P0117"])


def test_a_place_that_others_refer_to_and_nobody_knows_is_laid_out_first(tmp_path: Path, counted: Counted) -> None:
    build(sample_manual(), tmp_path)
    counted.look()
    named = with_more(sample_manual(), "P0AA6", Heading(2, "Named", "named"))
    build(with_more(named, "front", Paragraph((Link("named", words("it"), page=True),))), tmp_path)
    assert counted.look() == (["P0AA6"], ["P0AA6", "front"])
    page = page_map(tmp_path / "manual.pdf")["named"]
    assert f"it, page {page}" in " ".join(page_texts(tmp_path / "manual.pdf"))


def test_a_chapter_that_grows_moves_those_after_it_and_every_number_follows(tmp_path: Path, counted: Counted) -> None:
    before = build(sample_manual(), tmp_path)
    pages = page_map(tmp_path / "manual.pdf")
    counted.look()
    lines = [Paragraph(words(f"Line {number}.")) for number in range(60)]
    build(with_more(sample_manual(), "P0117", *lines), tmp_path)
    moved = page_map(tmp_path / "manual.pdf")
    assert moved["P0117"] == pages["P0117"]
    later = ("P0118", "P0AA6", "codes", "index")
    assert [moved[anchor] - pages[anchor] for anchor in later] == [1, 1, 1, 1]
    # 'front' refers to P0118; the title page refers to nothing and stands before.
    assert counted.look() == ([], ["P0117", "P0118", "P0AA6", "codes", "contents", "front", "index"])
    numbers = [(found, link.target) for link in links(tmp_path / "manual.pdf") if (found := number_in(link.words))]
    assert len(numbers) == 28
    assert all(found == target for found, target in numbers)
    assert build(sample_manual(), tmp_path) == before


def number_in(text: str) -> int | None:
    found = re.search(r"(?:page |^|\. )(\d+)[.,]?$", text)
    return int(found.group(1)) if found else None


def test_the_two_sheets_share_a_folder_without_disturbing_each_other(tmp_path: Path, counted: Counted) -> None:
    first = build(sample_manual(), tmp_path)
    letter = build(sample_manual(), tmp_path, "us-letter")
    counted.look()
    assert build(sample_manual(), tmp_path) == first
    assert build(sample_manual(), tmp_path, "us-letter") == letter
    assert counted.look() == ([], [])


@pytest.mark.slow
def test_threads_processes_and_one_worker_give_the_same_bytes(tmp_path: Path) -> None:
    made = set()
    spawned = ProcessPoolExecutor(2, mp_context=get_context("spawn"))
    for executor in (ThreadPoolExecutor(1), ThreadPoolExecutor(4), spawned):
        target = tmp_path / "manual.pdf"
        with executor:
            assert write_pdf(sample_manual(), target, page_size="a4", executor=executor) == ()
        made.add(target.read_bytes())
    assert len(made) == 1
    assert made == {build(sample_manual(), tmp_path)}


def test_faults_of_several_chapters_are_told_at_once_and_the_good_parts_are_kept(
    tmp_path: Path, counted: Counted, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("authorkit.output.pdf.write.print_problems", lambda *_: ())
    snow = Paragraph(words("A ☃ here."))
    manual = with_more(with_more(sample_manual(), "P0117", snow), "P0AA6", snow)
    target = tmp_path / "manual.pdf"
    problems = write_pdf(manual, target, page_size="a4", kept=KeptFiles(tmp_path / "cache"))
    assert [problem.place.file for problem in problems] == ["chapters/P0117.ipynb", "chapters/P0AA6.ipynb"]
    assert all("could not be displayed with font" in problem.message for problem in problems)
    assert not target.exists()


def test_page_numbers_that_never_settle_are_a_finding_at_the_chapter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A reference to the page of its own follower that pushes it on, as a typesetter might do it."""

    def restless(part: Part, numbers: Numbers) -> Outcome:
        odd = part.anchor == "P0117" and dict(numbers.pages)["P0118"] % 2 == 1
        return Typeset(Layout(2 if odd else 1, {name: Spot(1, 0.0) for name in part.names}), b"")

    monkeypatch.setattr(rounds, "lay_out", lambda part, numbers: None)
    monkeypatch.setattr(rounds, "typeset", restless)
    manual = with_more(sample_manual(), "P0117", Paragraph((Link("P0118", words("next"), page=True),)))
    target = tmp_path / "manual.pdf"
    problems = write_pdf(manual, target, page_size="a4")
    assert "chapters/P0117.ipynb" in [problem.place.file for problem in problems]
    assert {problem.rule for problem in problems} == {"page-refused"}
    assert "its page numbers do not settle: after 4 rounds" in problems[0].message
    assert not target.exists()


def part(anchor: str, names: tuple[str, ...], printed: tuple[str, ...] = ()) -> Part:
    return Part(anchor, {}, names, printed, (), (), 0, 0)


def test_parts_follow_one_another_and_each_is_told_the_pages_it_prints() -> None:
    parts = [part("a", ("a",), ("c", "d")), part("b", ("b",)), part("c", ("c", "d"), ("a",))]
    layouts = [
        Layout(2, {"a": Spot(1, 5.0)}),
        Layout(3, {"b": Spot(2, 6.0)}),
        Layout(4, {"c": Spot(1, 7.0), "d": Spot(4, 8.0)}),
    ]
    assert first_pages(layouts) == [1, 3, 6]
    assert numbers_for(parts, layouts) == [Numbers(1, (("c", 6), ("d", 9))), Numbers(3, ()), Numbers(6, (("a", 1),))]
    assert places(layouts) == {"a": Spot(1, 5.0), "b": Spot(4, 6.0), "c": Spot(6, 7.0), "d": Spot(9, 8.0)}


def test_a_single_page_is_a_manual_too() -> None:
    assert first_pages([Layout(3, {})]) == [1]


def test_a_page_in_the_middle_that_is_taken_out_moves_the_rest(tmp_path: Path) -> None:
    def without_references(page: Page) -> Page:
        return replace(page, blocks=tuple(block for block in page.blocks if not isinstance(block, Paragraph)))

    kept = tuple(
        without_references(page) for page in sample_manual().pages if page.anchor in ("title", "front", "index")
    )
    manual = replace(sample_manual(), pages=kept)
    build(manual, tmp_path)
    assert page_map(tmp_path / "manual.pdf")["index"] == 3
    build(replace(manual, pages=(kept[0], kept[2])), tmp_path)
    assert page_map(tmp_path / "manual.pdf")["index"] == 2
