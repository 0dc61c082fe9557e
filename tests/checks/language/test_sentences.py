"""The rules of language, held against sentences as authors write them: `sentences.yaml`."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from authorkit.checks import language
from authorkit.checks.language.sentences import lengths, sentences, word_count
from authorkit.checks.passage import Passage
from authorkit.problems import Place, Problem

DATA: dict[str, Any] = yaml.safe_load((Path(__file__).parent / "sentences.yaml").read_text(encoding="utf-8"))
BAD = [(rule, text) for rule, texts in DATA["bad"].items() for text in texts]


def passage(text: str, path: str = "procedure.3.do") -> Passage:
    return Passage(text, Place("chapters/P0118.ipynb", 2, 7, 9), path)


def found(text: str, path: str = "procedure.3.do") -> Iterator[Problem]:
    for module in language.RULE_MODULES:
        yield from module.problems_of(passage(text, path))  # type: ignore[attr-defined]


def test_there_are_enough_sentences_to_trust_the_rules() -> None:
    assert len(set(DATA["good"])) >= 60
    assert len(set(BAD)) >= 40
    assert set(DATA["bad"]) == {module.RULE for module in language.RULE_MODULES}


@pytest.mark.parametrize("text", DATA["good"])
def test_a_good_sentence_has_no_finding(text: str) -> None:
    assert list(found(text)) == []


@pytest.mark.parametrize(("rule", "text"), BAD)
def test_a_bad_sentence_has_findings_of_one_rule(rule: str, text: str) -> None:
    assert {problem.rule for problem in found(text)} == {rule}


# ASD-STE100, rules 5.1 and 6.3, as public summaries cite them: 20 words in a procedure, 25 in a description.
@pytest.mark.parametrize(
    ("path", "most"), [("procedure.3.do", 20), ("after-repair.2", 20), ("cautions.1.hazard", 25), ("lamp", 25)]
)
def test_a_sentence_may_have_this_many_words_and_not_one_more(path: str, most: int) -> None:
    fits = " ".join(["Measure", *["it"] * (most - 1)])
    assert [problem.found for problem in found(f"{fits}.", path)] == []
    assert [problem.found for problem in found(f"{fits} it.", path)] == [f"{most + 1} words"]


# How ASD-STE100 counts words, from memory.
@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Unplug B5.", 2),
        ("Use the low-resistance meter.", 4),
        ("Wait 2 min.", 2),
        ("Tighten it to 9 N·m.", 4),
        ("Measure 4.9 to 5.1 V.", 4),
        ("Press the button “Clear all codes now”.", 4),
        ("Look at {part:B5} first.", 4),
        ("The maker's procedure - not this one.", 6),
    ],
)
def test_words_are_counted_as_the_standard_does(text: str, count: int) -> None:
    assert word_count(text) == count


def test_words_in_brackets_are_a_sentence_of_their_own() -> None:
    assert lengths("Tighten the bolt (first 4 N·m, then 9 N·m) of {ground:G1}.") == [5, 4]


def test_the_first_command_is_found_behind_conditions_and_before_subordinate_clauses() -> None:
    text = "If it is blown, find the wire that touches ground. Otherwise go on."
    assert [each.command for each in sentences(passage(text))] == ["find the wire", "go on."]


def test_reasons_and_titles_are_no_instructions() -> None:
    for path in ("cautions.1.consequence", "procedure.3.repair", "procedure.3.end", "suspects.2.because"):
        assert list(found("The wire rubs at the bracket.", path)) == []
    for path in ("title", "specs.1.source", "terms.ECT.meaning", ""):
        assert list(found("The wire should be replaced; as required, etc.", path)) == []


def test_what_is_not_written_yet_has_no_finding_of_language() -> None:
    assert list(found("TODO the torque should be stated here, as required.")) == []


def test_a_finding_stands_at_the_text_and_quotes_the_sentence() -> None:
    (problem,) = found("Switch the key off. The plug is unplugged.")
    assert problem.place == Place("chapters/P0118.ipynb", 2, 7, 9)
    assert problem.message == ("The sentence 'The plug is unplugged.' does not give its instruction as a command.")
