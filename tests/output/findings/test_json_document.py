"""Findings as one JSON document."""

from __future__ import annotations

import json

from authorkit.checks.run import Findings
from authorkit.output.findings.json_document import as_json


def test_everything_about_a_finding_is_there(findings: Findings) -> None:
    document = json.loads(as_json(findings))
    assert list(document) == ["accepted", "findings"]
    assert document["findings"][0] == {
        "rule": "wire-two-colours",
        "severity": "error",
        "message": "The wire K131 from B5.1 to X12.4 is GN here & BU there.",
        "file": "chapters/P0118.ipynb",
        "cell": 2,
        "line": 7,
        "column": 12,
        "found": "GN",
        "expected": "BU",
        "suggestion": "Look at the wire, and correct the place that is <wrong>.",
        "also": [{"file": "chapters/P0117.ipynb", "cell": 2, "line": 5, "column": 3}],
    }


def test_what_a_finding_does_not_say_is_left_out(findings: Findings) -> None:
    note = json.loads(as_json(findings))["findings"][1]
    assert sorted(note) == ["also", "cell", "column", "file", "line", "message", "rule", "severity"]
    assert note["also"] == []
    assert note["column"] == 0


def test_an_accepted_finding_has_its_reason(findings: Findings) -> None:
    (accepted,) = json.loads(as_json(findings))["accepted"]
    assert accepted["rule"] == "todo-left"
    assert accepted["because"] == "Draft for the class"


def test_a_clean_check_has_two_empty_lists(nothing: Findings) -> None:
    assert json.loads(as_json(nothing)) == {"accepted": [], "findings": []}


def test_any_text_can_be_written_and_read_again(hostile: Findings) -> None:
    text = as_json(hostile)
    (problem,) = json.loads(text.encode("utf-8"))["findings"]
    assert problem["message"].startswith("]]></failure></script>")
