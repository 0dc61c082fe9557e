"""What must stay together on the page, whatever stands before it: swept over positions on the page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from authorkit.manual.blocks import (
    Block,
    BulletList,
    CautionBlock,
    FactList,
    Figure,
    Heading,
    IndexMark,
    Paragraph,
    StepBlock,
    Table,
    words,
)
from authorkit.output.pdf.write import page_map
from authorkit.output.tokens import design_tokens
from tests.output.pdf.reading import page_texts, page_words
from tests.output.pdf.samples import one_chapter, printed
from tests.output.sample_manual import readings, step
from tests.output.sample_pictures import circuit_svg

MM = 72 / 25.4
CODE = "P0123"


def filler(lines: int) -> list[Block]:
    """Lines that push what follows down the page, one after the other."""
    return [Paragraph(words(f"Line {number}.")) for number in range(lines)]


def steps(count: int) -> list[StepBlock]:
    return [
        step(
            *(CODE, str(number), f"Begin{number} by unplugging the connector."),
            measure=f"Voltmeter at M1-A.{number}.",
            question=f"What does it read at step {number}?",
            answers={f"low at {number}": "1", f"high, End{number}": str(count)},
        )
        for number in range(1, count + 1)
    ]


def page_with(pdf: Path, text: str) -> int:
    """The one page that shows a text."""
    pages = [number for number, shown in enumerate(page_texts(pdf), start=1) if text in shown]
    assert len(pages) == 1, (text, pages)
    return pages[0]


@pytest.mark.parametrize("lines", [0, 3, 5, 9])
def test_a_step_is_never_parted(tmp_path: Path, lines: int) -> None:
    pdf = printed(tmp_path, one_chapter(*filler(lines), *steps(24)))
    anchors = page_map(pdf)
    pages = set()
    for number in range(1, 25):
        first = page_with(pdf, f"Begin{number} ")
        assert first == page_with(pdf, f"End{number} ") == anchors[f"{CODE}-step-{number}"]
        pages.add(first)
    assert len(pages) >= 4


@pytest.mark.parametrize("lines", range(26, 46, 2))
def test_a_safety_message_is_on_the_page_of_what_it_guards(tmp_path: Path, lines: int) -> None:
    caution = CautionBlock("DANGER", "Guarded hazard.", "It kills.", ("Stay away.",))
    blocks = [Heading(2, "Guarded part"), caution, *steps(2)]
    pdf = printed(tmp_path, one_chapter(*filler(lines), *blocks))
    assert page_with(pdf, "Guarded part") == page_with(pdf, "Guarded hazard.") == page_with(pdf, "Begin1 ")


def test_the_sweep_of_safety_messages_meets_the_foot_of_the_page(tmp_path: Path) -> None:
    """Otherwise the test above could not fail: some position lets the message fit, but not its follower."""
    caution = CautionBlock("DANGER", "Guarded hazard.", "It kills.", ("Stay away.",))
    places = []
    for lines in range(26, 46, 2):
        pdf = printed(tmp_path, one_chapter(*filler(lines), caution))
        followed = tmp_path / str(lines)
        followed.mkdir()
        other = printed(followed, one_chapter(*filler(lines), caution, *steps(2)))
        places.append((page_with(pdf, "Guarded hazard."), page_with(other, "Guarded hazard.")))
    assert {first != second for first, second in places} == {True, False}


@pytest.mark.parametrize("lines", range(34, 44))
def test_a_heading_is_never_alone_at_the_foot(tmp_path: Path, lines: int) -> None:
    table = Table("Small table", ("A", "B"), tuple((words(f"r{n}"), words("x")) for n in range(3)), number="Table 1")
    pdf = printed(tmp_path, one_chapter(*filler(lines), Heading(2, "Held heading"), Heading(3, "Below it"), table))
    assert page_with(pdf, "Held heading") == page_with(pdf, "Below it") == page_with(pdf, "Small table")


@pytest.mark.parametrize("lines", range(22, 40, 3))
def test_a_short_table_is_not_parted(tmp_path: Path, lines: int) -> None:
    rows = tuple((words(f"row{number}"), words("x")) for number in range(8))
    pdf = printed(tmp_path, one_chapter(*filler(lines), Table("Short", ("Name", "Value"), rows)))
    assert len({page_with(pdf, f"row{number} ") for number in range(8)} | {page_with(pdf, "Short")}) == 1


def test_the_head_of_a_long_table_is_repeated_on_each_of_its_pages(tmp_path: Path) -> None:
    table = Table("Long table", ("Temperature", "Resistance", "Voltage"), (*readings(), *readings()), number="Table 7")
    pdf = printed(tmp_path, one_chapter(*filler(10), table))
    pages = [text for text in page_texts(pdf) if "kΩ" in text]
    assert len(pages) >= 3
    assert all("Temperature Resistance Voltage" in text for text in pages)
    assert sum(text.count("kΩ") for text in pages) == 120
    assert sum(text.count("Long table") for text in pages) == 1


@pytest.mark.parametrize("page_size", ["a4", "us-letter"])
def test_no_word_leaves_the_text_area(tmp_path: Path, page_size: str) -> None:
    """The silent fault of an unbreakable block: rows printed over each other below the foot of the page."""
    rows = tuple((words(f"row{number}"), words("word " * (number % 40))) for number in range(200))
    table = Table("Two hundred rows", ("Name", "Value"), rows)
    pdf = printed(tmp_path, one_chapter(*filler(20), table, *steps(12)), page_size)  # type: ignore[arg-type]
    sheet = design_tokens()["page"][page_size]
    height, foot = sheet["height"] * MM, sheet["bottom"] * MM
    shown = 0
    for page in page_words(pdf):
        body = [word for word in page if 20 * MM < word.top < height - 14 * MM and 10 * MM < word.left < 200 * MM]
        shown += sum(bool(re.fullmatch(r"row\d+", word.text)) for word in body)
        assert all(word.bottom < height - foot + 3 for word in body)
    assert shown == 200


def test_a_row_taller_than_a_page_runs_over_to_the_next(tmp_path: Path) -> None:
    long = " ".join(f"w{number}" for number in range(4000))
    pdf = printed(tmp_path, one_chapter(Table("Tall row", ("Name", "Value"), ((words("one"), words(long)),))))
    text = " ".join(page_texts(pdf))
    assert [number for number in range(4000) if f"w{number} " not in f"{text} "] == []


def test_a_long_title_is_cut_in_the_running_head_only(tmp_path: Path) -> None:
    title = "Throttle position sensor circuit high while the engine idles" + " at operating temperature" * 3
    pdf = printed(tmp_path, one_chapter(*filler(80), title=title))
    heads = [[word for word in page if word.top < 24 * MM] for page in page_words(pdf)]
    assert title in page_texts(pdf)[1]
    lines = {round(word.bottom) for word in heads[2] if word.text not in (CODE,)}
    assert len(lines) == 1
    assert any(word.text.endswith("…") for word in heads[2])


def test_a_title_of_two_lines_hangs_beside_the_code(tmp_path: Path) -> None:
    title = "Throttle position sensor circuit high while the engine idles at operating temperature"
    words = [word for word in page_words(printed(tmp_path, one_chapter(title=title)))[1] if word.top < 60 * MM]
    first = next(word for word in words if word.text == "Throttle")
    below = min((word for word in words if word.top > first.bottom), key=lambda word: word.left)
    assert below.left == pytest.approx(first.left, abs=1.5)
    assert first.left > 22 * MM + 60


@pytest.mark.parametrize("lines", range(28, 44, 3))
def test_a_list_of_facts_is_not_parted(tmp_path: Path, lines: int) -> None:
    facts = FactList(tuple((f"Name{number}", words(f"value{number}")) for number in range(9)))
    pdf = printed(tmp_path, one_chapter(*filler(lines), Heading(2, "Held heading"), facts))
    assert page_with(pdf, "Held heading") == page_with(pdf, "value0") == page_with(pdf, "value8")


def test_an_index_names_the_page_of_the_block_after_its_mark(tmp_path: Path) -> None:
    """A mark before a table that moves to the next page moves with it."""
    rows = tuple((words(f"row{number}"), words("x")) for number in range(9))
    for lines in range(30, 42, 3):
        blocks = [IndexMark("connector", "X77", "cavity 3"), Table("Marked", ("Name", "Value"), rows)]
        pdf = printed(tmp_path, one_chapter(*filler(lines), *blocks))
        assert f"X77 cavity 3 {page_with(pdf, 'Marked')}" in page_texts(pdf)[-1]


def test_a_page_marked_twice_is_named_once(tmp_path: Path) -> None:
    marked = [
        IndexMark("circuit", "K9"),
        Paragraph(words("One.")),
        IndexMark("circuit", "K9"),
        Paragraph(words("Two.")),
    ]
    pdf = printed(tmp_path, one_chapter(*marked, *filler(60), IndexMark("circuit", "K9"), Paragraph(words("Three."))))
    assert page_texts(pdf)[-1].split("K9 ")[1].startswith("2, 3 ")


def test_a_long_index_fills_three_columns_and_goes_on(tmp_path: Path) -> None:
    marks = [IndexMark("circuit", f"K{number}") for number in range(500)]
    pdf = printed(tmp_path, one_chapter(*marks))
    found = [
        [(int(word.text[1:]), round(word.left)) for word in page if re.fullmatch(r"K\d+", word.text)]
        for page in page_words(pdf)
    ]
    assert sorted(number for page in found for number, _ in page) == list(range(500))
    assert next(len({left for _, left in page}) for page in found if page) == 3


def test_a_short_index_is_balanced(tmp_path: Path) -> None:
    pdf = printed(tmp_path, one_chapter(*(IndexMark("circuit", f"K{number}") for number in range(12))))
    places = {int(word.text[1:]): word.left for word in page_words(pdf)[-1] if re.fullmatch(r"K\d+", word.text)}
    columns = sorted({round(left) for left in places.values()})
    assert [[n for n, left in sorted(places.items()) if round(left) == column] for column in columns] == [
        [0, 1, 2, 3],
        [4, 5, 6, 7],
        [8, 9, 10, 11],
    ]


def test_a_drawing_keeps_its_true_size(tmp_path: Path) -> None:
    """The two ends of the drawing's texts are as far apart on paper as in its own millimetres."""
    figure = Figure("Circuit", circuit_svg(150, 60), "svg", "M1 to B5.", 150, 60)
    pdf = printed(tmp_path, one_chapter(figure))
    lefts = [word.left / MM for word in page_words(pdf)[1] if word.text in ("M1", "B5")]
    # circuit_svg puts the names at x = 5 and x = 150 - 40 + 3.
    assert max(lefts) - min(lefts) == pytest.approx(113 - 5, abs=0.3)


def test_a_photograph_is_no_wider_than_the_text_and_a_nested_table_fits_its_list(tmp_path: Path) -> None:
    from tests.output.sample_pictures import photograph

    figure = Figure("Wide", photograph(30, 10), "png", "A wall.", 400, 100)
    nested = Table("", ("Name", "What it is for"), ((words("first"), words("word " * 60)),))
    pdf = printed(tmp_path, one_chapter(figure, BulletList(((Paragraph(words("See:")), nested),))))
    assert max(word.right for word in page_words(pdf)[1] if word.left < 195 * MM) < 192 * MM + 1


@pytest.mark.parametrize("count", [1, 9, 40])
def test_any_number_of_systems_has_tabs_on_the_sheet(tmp_path: Path, count: int) -> None:
    from dataclasses import replace

    names = tuple(f"System{number}" for number in range(count))
    manual = one_chapter(*filler(2))
    pages = (manual.pages[0], replace(manual.pages[1], system=names[-1]), manual.pages[2])
    pdf = printed(tmp_path, replace(manual, systems=names, pages=pages))
    tabs = [word for word in page_words(pdf)[1] if word.text == names[-1] and word.right < 10 * MM]
    assert len(tabs) == 1
    assert 20 * MM < tabs[0].top < tabs[0].bottom < 285 * MM
