"""Texts broken into lines by the width of the font."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from authorkit.drawing.ink import width_of
from authorkit.drawing.wrapped import wrapped


@given(st.text(alphabet="ab cdW\u202f/", max_size=80), st.floats(8, 60), st.booleans())
def test_no_line_is_wider_than_asked_and_no_letter_is_lost(text, width, bold):
    lines = wrapped(text, width, bold=bold)
    assert all(width_of(line, bold=bold) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_number_stays_with_its_unit():
    assert wrapped("below 0.5\u202fV", width_of("below 0.5")) == ("below", "0.5\u202fV")


def test_a_word_too_wide_is_broken_where_the_line_ends():
    assert all(len(line) == 10 for line in wrapped("W" * 40, width_of("W" * 10)))
