"""The pages that explain the rules of reading: complete, and their examples do what they say."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from authorkit.facts.read_book import read_book
from authorkit.problems import RULES
from authorkit.problems.explain import PARTS

READING = [rule.id for rule in RULES.values() if rule.group == "reading"]
FOLDER = Path(__file__).parents[2] / "authorkit" / "problems" / "explanations"
BLOCK = re.compile(r"^```(\w+)\n(.*?)\n```$", re.MULTILINE | re.DOTALL)


def page(rule: str) -> str:
    return (FOLDER / f"{rule}.md").read_text(encoding="utf-8")


# Examples in plain text show files, not facts: there is nothing that could be put into a cell.
WITH_FACTS = [rule for rule in READING if "```text" not in page(rule)]


def as_case(language: str, text: str, chapter_head: str) -> dict[str, Any]:
    """What an example adds to the small manual: facts, a whole cell, or prose."""
    if language == "markdown":
        return {"cells": [{"code": chapter_head}, {"markdown": text}]}
    chapter, _, vehicle = text.partition("# In the vehicle notebook:\n")
    return {"cell": text} if text.startswith("%%") else {"chapter": chapter + "\n", "vehicle": vehicle + "\n"}


@pytest.mark.parametrize("rule", READING)
def test_a_page_has_its_four_parts_and_two_examples(rule: str) -> None:
    prose = page(rule).split("```")[::2]
    headings = [line for part in prose for line in part.split("\n") if line.startswith("#")]
    assert headings == [f"# {rule}", *(f"## {part}" for part in PARTS)]
    assert len(BLOCK.findall(page(rule))) == 2


def test_all_pages_but_those_about_files_show_facts() -> None:
    assert len(WITH_FACTS) == len(READING) - 5


@pytest.mark.parametrize("rule", WITH_FACTS)
def test_the_wrong_example_gives_the_finding_and_the_right_one_none(
    rule: str, manual: Callable[[dict[str, Any]], Path], chapter_head: str
) -> None:
    (language, wrong), (_, right) = BLOCK.findall(page(rule))
    _, problems = read_book(manual(as_case(language, wrong, chapter_head)))
    assert {problem.rule for problem in problems} == {rule}
    _, problems = read_book(manual(as_case(language, right, chapter_head)))
    assert problems == ()
