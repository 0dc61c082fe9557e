"""Findings as SARIF 2.1.0, held against the schema of the standard.

`sarif-2.1.0.json` is the schema file of the npm package @microsoft/sarif-multitool-linux 5.7.0 (MIT licence),
unchanged; it puts the schema of the OASIS standard in draft 2020-12.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from authorkit.checks.run import Findings
from authorkit.output.findings.sarif import as_sarif
from authorkit.problems import RULES, Place, Problem
from authorkit.problems.explain import explanation

SCHEMA = json.loads((Path(__file__).parent / "sarif-2.1.0.json").read_text(encoding="utf-8"))


def physical_line(place: Place) -> int:
    """Stands in for looking a line up in the notebook's file."""
    return 100 * place.cell + place.line


def log_of(findings: Findings) -> dict[str, Any]:
    text = as_sarif(findings, physical_line, "1.2.3")
    log = json.loads(text.encode("utf-8"))
    assert isinstance(log, dict)
    return log


def faults(log: dict[str, Any]) -> list[str]:
    validator = jsonschema.Draft202012Validator(SCHEMA, format_checker=jsonschema.FormatChecker())
    return [error.message for error in validator.iter_errors(log)]


def test_the_log_meets_the_schema(findings: Findings, nothing: Findings, hostile: Findings) -> None:
    assert faults(log_of(findings)) == []
    assert faults(log_of(nothing)) == []
    assert faults(log_of(hostile)) == []


def test_a_log_with_every_rule_meets_the_schema() -> None:
    every = tuple(Problem(rule, "It is so.", Place("a.ipynb", 1, number + 1)) for number, rule in enumerate(RULES))
    log = log_of(Findings(every, ()))
    assert faults(log) == []
    described = log["runs"][0]["tool"]["driver"]["rules"]
    assert sorted(rule["id"] for rule in described) == sorted(RULES)
    assert all(rule["shortDescription"]["text"] and "\n" not in rule["shortDescription"]["text"] for rule in described)


def test_the_schema_refuses_a_level_that_does_not_exist(findings: Findings) -> None:
    log = log_of(findings)
    log["runs"][0]["results"][0]["level"] = "fatal"
    assert any("'fatal' is not one of" in fault for fault in faults(log))


def test_a_result_has_its_level_message_and_places(findings: Findings) -> None:
    result = log_of(findings)["runs"][0]["results"][0]
    assert (result["ruleId"], result["level"]) == ("wire-two-colours", "error")
    assert result["message"]["text"].startswith(
        "The wire K131 from B5.1 to X12.4 is GN here & BU there. Look at the wire"
    )
    (location,) = result["locations"]
    assert location["physicalLocation"] == {
        "artifactLocation": {"uri": "chapters/P0118.ipynb"},
        "region": {"startLine": 207},
    }
    assert location["logicalLocations"] == [{"fullyQualifiedName": "chapters/P0118.ipynb, cell 2, line 7, column 12"}]
    (related,) = result["relatedLocations"]
    assert related["physicalLocation"]["region"] == {"startLine": 205}


@pytest.mark.parametrize(("number", "level"), [(0, "error"), (1, "note"), (2, "warning"), (3, "warning")])
def test_severities_are_levels(findings: Findings, number: int, level: str) -> None:
    assert log_of(findings)["runs"][0]["results"][number]["level"] == level


def test_a_file_as_a_whole_has_no_region_and_its_name_is_a_uri(findings: Findings) -> None:
    (location,) = log_of(findings)["runs"][0]["results"][2]["locations"]
    assert location["physicalLocation"] == {"artifactLocation": {"uri": "figures/a%2C%20b%2520c.png"}}


def test_a_file_name_that_is_not_utf_8_keeps_its_bytes(hostile: Findings) -> None:
    (location,) = log_of(hostile)["runs"][0]["results"][0]["locations"]
    assert location["physicalLocation"]["artifactLocation"] == {"uri": "chapters/%E9%3C%26%3E.ipynb"}


def test_an_accepted_finding_is_suppressed_with_its_reason(findings: Findings) -> None:
    results = log_of(findings)["runs"][0]["results"]
    assert [result.get("suppressions") for result in results] == [
        None,
        None,
        None,
        [{"kind": "inSource", "justification": "Draft for the class"}],
    ]


def test_each_rule_comes_with_its_explanation(findings: Findings) -> None:
    driver = log_of(findings)["runs"][0]["tool"]["driver"]
    assert (driver["name"], driver["version"]) == ("authorkit", "1.2.3")
    rules = {rule["id"]: rule for rule in driver["rules"]}
    assert sorted(rules) == ["figure-unused", "procedure-length", "todo-left", "wire-two-colours"]
    assert rules["todo-left"]["help"]["markdown"] == explanation("todo-left")
    assert rules["procedure-length"]["defaultConfiguration"] == {"level": "note"}
