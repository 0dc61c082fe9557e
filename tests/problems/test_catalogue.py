"""The table of rules, and findings as values."""

from __future__ import annotations

import re
from dataclasses import FrozenInstanceError
from itertools import pairwise

import pytest

from authorkit.problems import RULES, Place, Problem

PLACE = Place("chapters/P0118.ipynb", 1, 7, 12)


def test_each_row_stands_under_its_own_id() -> None:
    assert [rule.id for rule in RULES.values()] == list(RULES)


def test_ids_are_words_in_small_letters_joined_by_dashes() -> None:
    assert [rule for rule in RULES if not re.fullmatch(r"[a-z]+(?:-[a-z]+)+", rule)] == []


def test_severities_and_rooms_are_those_that_others_look_up() -> None:
    assert {rule.severity for rule in RULES.values()} == {"error", "warning", "note"}
    assert {rule.by for rule in RULES.values()} == {"facts", "checks", "drawing", "manual", "output", "desk"}


def test_rules_of_one_group_stand_together_in_the_list() -> None:
    groups = [rule.group for rule in RULES.values()]
    changes = sum(first != second for first, second in pairwise(groups))
    assert changes + 1 == len(set(groups))


def test_a_finding_is_as_grave_as_its_rule() -> None:
    assert Problem("todo-left", "A note is left.", PLACE).severity == "warning"
    assert Problem("code-reserved", "It is reserved.", PLACE).severity == "error"
    assert Problem("procedure-length", "It is long.", PLACE).severity == "note"


def test_a_finding_of_no_rule_cannot_be_made() -> None:
    with pytest.raises(KeyError, match="todo-lost"):
        Problem("todo-lost", "A note is left.", PLACE)


def test_findings_are_values() -> None:
    first, second = (Problem("todo-left", "A note is left.", PLACE) for _ in range(2))
    assert first == second
    assert len({first, second}) == 1
    with pytest.raises(FrozenInstanceError):
        first.message = "Another"  # type: ignore[misc]


def test_findings_sort_down_the_notebook_whatever_their_rule() -> None:
    def at(file: str, cell: int, line: int, column: int = 1) -> Problem:
        return Problem("todo-left", "A note is left.", Place(file, cell, line, column))

    ordered = [at("a", 1, 2), at("a", 1, 10), at("a", 2, 1), at("a", 2, 1, 9), at("b", 1, 1)]
    backwards = ordered[::-1]
    assert sorted(backwards, key=lambda problem: problem.sort_key) == ordered
