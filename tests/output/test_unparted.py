"""What must stay on one line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.output.unparted import pieces_of


@pytest.mark.parametrize(
    "kept",
    [
        "4.9 V",
        "180 kΩ",
        "0.5 mm²",
        "20 °C",
        "2.5 mm2",
        "100 Hz",
        "M1-A.23",
        "BU/WH",
        "M9-H.1",
        "−40 °C",
        "P0118-16",
        "(M1-A.23",
    ],
)
def test_codes_and_values_with_their_unit_are_kept(kept: str) -> None:
    assert (kept, True) in list(pieces_of(f"Measure {kept} here"))


@pytest.mark.parametrize(
    "text",
    ["Wait 5 minutes", "a well-known-but-very-long-compound-word-of-many-parts", "either this or that", "4.9 Volts"],
)
def test_ordinary_words_may_be_parted(text: str) -> None:
    assert [kept for _, kept in pieces_of(text)] == [False]


def test_line_ends_and_runs_of_spaces_become_one_space() -> None:
    assert "".join(piece for piece, _ in pieces_of("Read\n  4.9   V ")) == "Read 4.9 V "


def test_no_text_is_one_empty_piece() -> None:
    assert list(pieces_of("")) == [("", False)]


@given(st.text("ab1.,-/() VΩ", max_size=60))
def test_no_sign_is_lost(text: str) -> None:
    pieces = "".join(piece for piece, _ in pieces_of(text))
    assert pieces.split() == text.split()
