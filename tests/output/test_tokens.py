"""The design tokens: contrast that can be read, a page whose parts add up."""

from __future__ import annotations

import pytest
import wcag_contrast_ratio

from authorkit.drawing.font import FAMILY, FIXED_FAMILY
from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.output.tokens import design_tokens, theme_file

COLOUR = design_tokens()["colour"]


def rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


@pytest.mark.parametrize(
    ("ink", "ground"), [("ink", "paper"), ("muted", "paper"), ("muted", "tint"), ("ink", "tint"), ("tab-text", "tab")]
)
def test_text_is_read_on_its_ground(ink: str, ground: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1 for text of any size."""
    assert wcag_contrast_ratio.rgb(rgb(COLOUR[ink]), rgb(COLOUR[ground])) >= 4.5


def test_a_hairline_that_carries_meaning_is_seen() -> None:
    """WCAG 2.2, 1.4.11: 3 to 1 for graphics."""
    assert wcag_contrast_ratio.rgb(rgb(COLOUR["hairline"]), rgb(COLOUR["paper"])) >= 3


def test_signal_words_differ_in_grey_print() -> None:
    """WCAG 2.2, 1.4.1: not by colour alone. The words differ, the symbol is missing only beside NOTICE."""
    assert len(SIGNAL_WORDS) == 4
    assert [word for word, signal in SIGNAL_WORDS.items() if not signal.alert_symbol] == ["NOTICE"]


@pytest.mark.parametrize("page_size", ["a4", "us-letter"])
def test_margins_and_text_add_up_to_the_sheet(page_size: str) -> None:
    page = design_tokens()["page"]
    sheet = page[page_size]
    assert sheet["inside"] + page["text-width"] + sheet["outside"] == pytest.approx(sheet["width"])
    assert page["tab-width"] < sheet["outside"] < sheet["inside"]


def test_text_is_large_enough_for_the_fender() -> None:
    """Common practice for reference print: nothing below 8 points, running text 10 and more, steps larger still."""
    sizes = {name: size for name, size in design_tokens()["size"].items() if name != "code-ratio"}
    assert min(sizes.values()) >= 8
    assert sizes["step"] > sizes["text"] >= 10


def test_the_fonts_are_the_ones_that_drawings_are_lettered_in() -> None:
    assert design_tokens()["font"] == {"text": FAMILY, "code": FIXED_FAMILY}


def test_the_template_reads_every_colour_and_word_from_the_tokens() -> None:
    template = theme_file("manual.typ").decode()
    assert 'rgb("' not in template
    assert "Result" not in template
    assert all(f"tokens.words.{word}" in template for word in design_tokens()["words"])
