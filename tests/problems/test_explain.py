"""The pages of explanation: one for each rule, complete, short, with examples that can be read."""

from __future__ import annotations

import re

import pytest

from authorkit.facts.yaml_lines import read_yaml
from authorkit.problems import RULES
from authorkit.problems.explain import PARTS, UnknownRuleError, explanation

BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
# An example as it stands in print: a page has one wrong and one right, at most a screen each.
LONGEST_EXAMPLE = 24
LONGEST_LINE = 120


@pytest.mark.parametrize("rule", sorted(RULES))
def test_a_page_has_its_id_and_its_parts_in_order(rule: str) -> None:
    outside = BLOCK.sub("", explanation(rule))
    assert re.findall(r"^#+ (.*)$", outside, re.MULTILINE) == [rule, *PARTS]
    assert all(part.strip() for part in re.split(r"^#+ .*$", explanation(rule), flags=re.MULTILINE)[1:][1:])


@pytest.mark.parametrize("rule", sorted(RULES))
def test_a_page_shows_wrong_and_right_and_fits_on_a_screen(rule: str) -> None:
    text = explanation(rule)
    assert text.index("Wrong:") < text.index("Right:")
    blocks = BLOCK.findall(text)
    assert len(blocks) == 2
    assert blocks[0] != blocks[1]
    assert all(block.count("\n") <= LONGEST_EXAMPLE for _, block in blocks)
    assert max(len(line) for line in text.splitlines()) <= LONGEST_LINE
    assert text.endswith("\n")
    assert not text.endswith("\n\n")


@pytest.mark.parametrize("rule", sorted(rule for rule in RULES if RULES[rule].group != "reading"))
def test_facts_in_an_example_are_yaml(rule: str) -> None:
    for language, block in BLOCK.findall(explanation(rule)):
        if language == "yaml":
            node, problems = read_yaml(block, "example")
            # One block may show two notebooks, in which a key stands twice.
            assert {problem.rule for problem in problems} <= {"key-repeated"}
            assert node is not None


def test_an_unknown_id_names_the_closest() -> None:
    with pytest.raises(UnknownRuleError, match="There is no rule 'todo-lefft'") as caught:
        explanation("todo-lefft")
    assert str(caught.value).endswith("Did you mean 'todo-left'?")
    assert caught.value.suggestion == "todo-left"


def test_an_id_like_no_other_gets_no_suggestion() -> None:
    with pytest.raises(UnknownRuleError) as caught:
        explanation("zzzz")
    assert caught.value.suggestion is None
    assert str(caught.value) == "There is no rule 'zzzz'."


@pytest.mark.parametrize("rule", ["../catalogue", "", "todo-left.md", "explanations/todo-left"])
def test_an_id_is_no_path(rule: str) -> None:
    with pytest.raises(UnknownRuleError):
        explanation(rule)
