"""The table of rules, the modules, the explanations and the cases belong together one to one."""

from __future__ import annotations

import importlib
import re
from importlib import resources
from pathlib import Path
from types import ModuleType

import pytest
import yaml

from authorkit.checks import RULE_MODULES
from authorkit.problems import RULES
from authorkit.problems.explain import PARTS, explanation

CASES = Path(__file__).parent / "cases"

# The rules that have a module; those of the group 'acceptance' are part of running the others.
CHECKED = sorted(rule.id for rule in RULES.values() if rule.by == "checks" and rule.group != "acceptance")


def module_name(rule: str) -> str:
    return f"authorkit.checks.{RULES[rule].group}.{rule.replace('-', '_')}"


def test_every_rule_of_the_checks_has_one_module_in_the_list_and_every_module_a_rule() -> None:
    assert sorted(module.RULE for module in RULE_MODULES) == CHECKED


@pytest.mark.parametrize("rule", CHECKED)
def test_the_module_of_a_rule_is_named_after_it_and_says_what_is_wrong(rule: str) -> None:
    module = importlib.import_module(module_name(rule))
    assert isinstance(module, ModuleType)
    assert rule == module.RULE
    assert any(listed is module for listed in RULE_MODULES)
    assert module.__doc__
    assert module.check.__doc__


@pytest.mark.parametrize("rule", CHECKED)
def test_a_rule_module_names_no_other_rule(rule: str) -> None:
    module = importlib.import_module(module_name(rule))
    source = Path(str(module.__file__)).read_text(encoding="utf-8")
    code = re.sub(r'"""[\s\S]*?"""', "", source)
    assert [other for other in RULES if f'"{other}"' in code] == [rule]


@pytest.mark.parametrize("rule", CHECKED)
def test_a_rule_has_a_case_that_fires_and_one_that_is_silent(rule: str) -> None:
    cases = yaml.load((CASES / f"{rule}.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    assert [case["name"] for case in cases if case["finds"]]
    assert [case["name"] for case in cases if not case["finds"]]
    names = [case["name"] for case in cases]
    assert len(set(names)) == len(names)


def test_there_is_no_case_without_a_rule() -> None:
    assert sorted(path.stem for path in CASES.glob("*.yaml") if path.stem != "base") == CHECKED


@pytest.mark.parametrize("rule", sorted(RULES))
def test_a_rule_is_explained_under_the_four_headings(rule: str) -> None:
    text = re.sub(r"^```[\s\S]*?^```", "(example)", explanation(rule), flags=re.MULTILINE)
    assert text.splitlines()[0] == f"# {rule}"
    assert re.findall(r"^## (.+)$", text, flags=re.MULTILINE) == list(PARTS)
    for part in re.split(r"^## .+$", text, flags=re.MULTILINE)[1:]:
        assert part.strip()


def test_there_is_no_explanation_without_a_rule() -> None:
    folder = resources.files("authorkit.problems").joinpath("explanations")
    assert sorted(file.name.removesuffix(".md") for file in folder.iterdir()) == sorted(RULES)


def test_an_id_is_lower_case_words_and_names_the_fault() -> None:
    assert [rule for rule in RULES if not re.fullmatch(r"[a-z]+(-[a-z]+)+", rule)] == []
