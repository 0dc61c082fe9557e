"""The nearest name, and the question that offers it."""

from __future__ import annotations

import pytest

from authorkit.problems.closest import closest, did_you_mean


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("titel", "title"),
        ("Set By", "set-by"),
        ("set_by", "set-by"),
        ("FUSE-TO-LARGE", "fuse-too-large"),
        ("qqq", None),
    ],
)
def test_case_and_separators_do_not_matter(typed: str, meant: str | None) -> None:
    assert closest(typed, ["title", "set-by", "fuse-too-large"]) == meant


def test_a_lower_cutoff_finds_what_is_less_alike() -> None:
    assert closest("X9", ["X12"]) is None
    assert closest("X9", ["X12"], cutoff=0.4) == "X12"


def test_a_text_that_nobody_mistypes_is_not_compared() -> None:
    assert closest("a" * 61, ["a" * 60]) is None


def test_the_question_names_one_or_two_and_is_not_asked_for_none() -> None:
    assert did_you_mean("title") == "Did you mean 'title'?"
    assert did_you_mean("MS", "ms") == "Did you mean 'MS' or 'ms'?"
    assert did_you_mean(None) is None
