"""Every rule of reading, by the cases in `cases/*.yaml`: the complete list of findings, with their places."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from authorkit.facts.read_book import read_book
from authorkit.problems import RULES, Problem

FOLDER = Path(__file__).parent / "cases"
CASES = [
    (file.stem, case)
    for file in sorted(FOLDER.glob("*.yaml"))
    for case in yaml.safe_load(file.read_text(encoding="utf-8"))
]


def told(problem: Problem) -> dict[str, Any]:
    """A finding as a case writes it."""
    place = problem.place
    return {
        "rule": problem.rule,
        "file": place.file,
        "at": [place.cell, place.line, place.column],
        "found": problem.found,
        "suggestion": problem.suggestion,
    }


@pytest.mark.parametrize(("rule", "case"), [pytest.param(*pair, id=f"{pair[0]}: {pair[1]['name']}") for pair in CASES])
def test_a_case_gives_exactly_these_findings(
    rule: str, case: dict[str, Any], manual: Callable[[dict[str, Any]], Path]
) -> None:
    _, problems = read_book(manual(case), case.get("only"))
    defaults = {"rule": rule, "file": "chapters/P0118.ipynb"}
    assert [told(problem) for problem in problems] == [{**defaults, **finding} for finding in case["findings"]]
    for problem in problems:
        assert problem.message[-1] == ".", "a message is a sentence"
        assert problem.expected, "a finding says what was expected"
        assert problem.suggestion, "a finding says what to do"


@pytest.mark.parametrize("rule", [rule.id for rule in RULES.values() if rule.group == "reading"])
def test_every_rule_of_reading_fires_in_one_case_and_is_silent_in_another(rule: str) -> None:
    own = [case for name, case in CASES if name == rule]
    fires = [any(finding.get("rule", rule) == rule for finding in case["findings"]) for case in own]
    assert True in fires
    assert False in fires
