"""Slips of the finger between two names."""

from __future__ import annotations

import pytest

from authorkit.checks.slip import is_slip, slip_of


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("X21", "X12"), ("K113", "K131"), ("K13", "K131"), ("K1131", "K131"), ("G7", "G1"), ("M1-B", "M1-A")],
)
def test_one_wrong_missing_extra_or_swapped_letter_is_a_slip(typed: str, meant: str) -> None:
    assert is_slip(typed, meant)
    assert is_slip(meant, typed)


@pytest.mark.parametrize(("typed", "meant"), [("X12", "X12"), ("X12", "X34"), ("K311", "K131X"), ("", "AB")])
def test_no_difference_or_more_than_one_is_no_slip(typed: str, meant: str) -> None:
    assert not is_slip(typed, meant)


def test_swapped_letters_go_before_a_wrong_one() -> None:
    assert slip_of("P0171", ["P0101", "P0117", "P0170"]) == "P0117"


def test_no_name_near_enough_gives_none() -> None:
    assert slip_of("X99", ["X12", "G1"]) is None
