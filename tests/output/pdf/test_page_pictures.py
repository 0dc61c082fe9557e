"""The printed pages of one chapter as pictures."""

from __future__ import annotations

import struct
from dataclasses import replace

import pytest

from authorkit.manual.blocks import Link, Paragraph, StepBlock, words
from authorkit.output.pdf.page_pictures import page_pictures
from tests.output.sample_manual import sample_manual

WHOLE = sample_manual()
P0118 = next(page for page in WHOLE.pages if page.anchor == "P0118")


def size(picture: bytes) -> tuple[int, int]:
    """Width and height as the file says (Portable Network Graphics, third edition, 11.2.1)."""
    assert picture.startswith(b"\x89PNG\r\n\x1a\n")
    width, height = struct.unpack(">II", picture[16:24])
    return width, height


@pytest.mark.parametrize(("sheet", "inches"), [("a4", (210 / 25.4, 297 / 25.4)), ("us-letter", (8.5, 11))])
def test_each_page_is_a_picture_of_the_sheet(sheet, inches) -> None:
    """ISO 216: A4 is 210 mm by 297 mm; ANSI Y14.1: letter is 8.5 in by 11 in."""
    pictures, problems = page_pictures(replace(WHOLE, pages=(P0118,)), sheet, 50)
    assert problems == ()
    assert len(pictures) > 1
    for picture in pictures:
        assert size(picture) == pytest.approx([50 * side for side in inches], abs=1)


def test_a_reference_to_another_chapter_needs_no_other_chapter() -> None:
    page = replace(P0118, blocks=(Paragraph((Link("P0117", words("P0117"), page=True),)), *P0118.blocks))
    pictures, problems = page_pictures(replace(WHOLE, pages=(page,)), "a4", 40)
    assert problems == ()
    assert pictures


def test_what_cannot_be_printed_is_a_finding() -> None:
    tall = StepBlock("1", "step", words("word " * 9000))
    pictures, problems = page_pictures(replace(WHOLE, pages=(replace(P0118, blocks=(tall,)),)), "a4")
    assert pictures == ()
    assert {problem.rule for problem in problems} == {"page-refused"}
