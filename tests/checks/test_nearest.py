"""The suggestion for an unknown name."""

from __future__ import annotations

from authorkit.checks.nearest import listed, nearest


def test_the_nearest_name_is_asked_for() -> None:
    assert nearest("M11", ["M1", "B5"], "Look again.") == "Did you mean 'M1'?"


def test_without_a_near_name_the_other_advice_is_given() -> None:
    assert nearest("Q", ["M1", "B5"], "Look again.") == "Look again."
    assert nearest("Q", [], "Look again.") == "Look again."


def test_the_name_itself_is_never_suggested() -> None:
    assert nearest("M1", ["M1"], "Look again.") == "Look again."


def test_the_order_of_the_choices_does_not_matter() -> None:
    assert nearest("X13", ["X14", "X12"], "") == nearest("X13", ["X12", "X14"], "")


def test_a_few_choices_are_listed_many_are_counted() -> None:
    assert listed(["A", "B", "A"]) == "one of A, B"
    assert listed(f"M{number}" for number in range(40)) == "one of 40 names, such as 'M0'"
    assert listed([]) == "none, because none is declared"
