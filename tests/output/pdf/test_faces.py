"""Widths of words, and signs that a face lacks."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.drawing.font import font_folder
from authorkit.output.pdf.faces import Measured, load_faces, measure, shortened

FACES = load_faces(font_folder())


@pytest.mark.parametrize(
    ("sign", "thousandths"),
    # Helvetica's advances (Adobe's metrics of the standard PDF fonts, from memory); Liberation Sans was made to agree.
    [("A", 667), ("W", 944), ("i", 222), (" ", 278), ("0", 556), ("m", 833), (".", 278)],
)
def test_a_letter_is_as_wide_as_in_helvetica(sign: str, thousandths: int) -> None:
    assert FACES.regular.width(sign, 1000) == pytest.approx(thousandths, abs=1)


@pytest.mark.parametrize(("sign", "thousandths"), [("A", 722), ("i", 278), ("0", 556), ("m", 889)])
def test_a_bold_letter_is_as_wide_as_in_helvetica_bold(sign: str, thousandths: int) -> None:
    assert FACES.bold.width(sign, 1000) == pytest.approx(thousandths, abs=1)


def test_every_sign_of_the_fixed_face_is_as_wide_as_in_courier() -> None:
    """600 thousandths (Adobe's metrics of the standard PDF fonts, from memory)."""
    assert {round(FACES.code.width(sign, 1000)) for sign in "iM0Ω→"} == {600}


def test_a_line_is_the_sum_of_its_letters_times_the_size() -> None:
    assert FACES.regular.width("Ai 0", 10) == pytest.approx(6.67 + 2.22 + 2.78 + 5.56, abs=0.01)


@pytest.mark.parametrize(
    "text", ["Ω µ ° ± → ≤ ≥ ² – …", "a\u202fb\u2009c\u00a0d", "soft\u00adhyphen", "word\u200bbreak"]
)
def test_signs_of_the_trade_and_spaces_of_any_kind_are_there(text: str) -> None:
    assert FACES.regular.lacks(text) == FACES.bold.lacks(text) == ""


@pytest.mark.parametrize("sign", ["☃", "✓", "\x00", "\ud800", "\u202e", "中"])
def test_a_sign_without_a_glyph_is_named(sign: str) -> None:
    assert FACES.regular.lacks(f"before {sign} after ☃") == sign


def test_the_widest_part_that_cannot_be_broken_ends_at_spaces_and_line_ends_only() -> None:
    def width(text: str) -> float:
        return FACES.regular.width(text, 10)

    measured = measure([("one three\ntwo 4.9\u00a0V", FACES.regular)], 10)
    assert measured == Measured(pytest.approx(width("one three")), pytest.approx(width("4.9\u00a0V")))
    assert measure([("ab", FACES.regular), ("cd e", FACES.bold)], 10).narrowest == pytest.approx(
        width("ab") + FACES.bold.width("cd", 10)
    )


def test_a_title_is_shortened_by_whole_words() -> None:
    face = FACES.regular
    assert shortened("one two three", face.width("one two three", 8), face, 8) == "one two three"
    assert shortened("one two three", face.width("one two…", 8), face, 8) == "one two…"
    assert shortened("immeasurable", 10, face, 8) == "…"


def test_the_families_are_those_that_are_shipped() -> None:
    assert FACES.families == {"Liberation Sans", "Liberation Mono"}


def test_a_folder_without_the_fonts_is_refused_by_name(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no file of the font 'Liberation Sans Regular'"):
        load_faces(tmp_path)
