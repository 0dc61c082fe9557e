"""The HTML manual on paper, as the browser prints it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from authorkit.manual.blocks import CautionBlock, Figure, Heading, Page, Paragraph, StepBlock, words
from authorkit.output.html import write_html
from tests.output.html.samples import chapter, small_manual
from tests.output.pdf.reading import page_texts
from tests.output.sample_pictures import circuit_svg

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = pytest.mark.browser


def printed(tab: Tab, path: Path, size: str = "A4") -> list[str]:
    """The text of each page that the browser prints."""
    tab.pdf(path=path, format=size, prefer_css_page_size=True)
    return page_texts(path)


def test_paper_shows_the_text_and_not_the_ways_around_it(
    folder: Path, tmp_path: Path, open_tab: Callable[..., Tab]
) -> None:
    pages = printed(open_tab(folder, "front", colours="dark"), tmp_path / "front.pdf")
    text = " ".join(pages)
    assert "Reading a chapter" in text
    assert f"1 / {len(pages)}" in pages[0]
    for word in ("Skip to the text", "Dark page", "List of codes", "Previous", "Next", ".html", "file:"):
        assert word not in text
    assert "(https://www.bipm.org/en/publications/si-brochure)" in text  # paper cannot be pressed: it spells it out


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_head_of_a_table_is_repeated_on_every_page(
    folder: Path, tmp_path: Path, open_tab: Callable[..., Tab], size: str
) -> None:
    pages = printed(open_tab(folder, "P0118"), tmp_path / "page.pdf", size)
    with_rows = [page for page in pages if " kΩ " in page]
    assert len(with_rows) > 1
    assert all("Temperature Resistance Voltage at M1-A.23" in page for page in with_rows)


def tall_page(lines: int) -> Page:
    """Lines of text, then what must not be parted."""
    step = StepBlock("1", "s1", words("Do begins"), (), words("M"), words("Q"), (), words("V"), words("Repair ends"))
    return chapter(
        "P0118",
        *(Paragraph(words(f"line {number}")) for number in range(lines)),
        Heading(2, "Heading before drawing"),
        Figure("Drawing below heading", circuit_svg(120, 50), "svg", "alt", 120, 50),
        Heading(2, "Heading before caution"),
        CautionBlock("WARNING", "Hazard first", "Consequence", ("Avoid last",)),
        CautionBlock("CAUTION", "Second hazard", "Consequence", ("Avoid second",)),
        step,
    )


# Words that must be printed on the same page as each other.
TOGETHER = [
    ("Heading before drawing", "Drawing below heading"),
    ("Heading before caution", "Hazard first"),
    ("Hazard first", "Avoid last"),
    ("Avoid last", "Second hazard"),
    ("Second hazard", "Avoid second"),
    ("Avoid second", "Do begins"),
    ("Do begins", "Repair ends"),
]


@pytest.mark.slow
def test_nothing_that_belongs_together_is_parted_wherever_the_page_ends(
    tmp_path: Path, open_tab: Callable[..., Tab]
) -> None:
    """The text before is made longer line by line, so that the page ends at every place of what follows."""
    broken, ends = [], set()
    for lines in range(4, 34, 3):
        folder = tmp_path / str(lines)
        write_html(small_manual(tall_page(lines)), folder)
        pages = printed(open_tab(folder, "P0118"), tmp_path / f"{lines}.pdf")
        for first, second in TOGETHER:
            if not any(first in page and second in page for page in pages):
                broken.append((lines, first, second))
        ends.add(" ".join(pages[0].split()[-6:-3]))
    assert broken == []
    assert len(ends) > 4  # the page did end in different places
