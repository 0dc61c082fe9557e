"""Findings as SARIF 2.1.0 (OASIS), which editors and build servers show beside the line."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any
from urllib.parse import quote

from authorkit.checks.run import Findings
from authorkit.problems import RULES, Place, Problem
from authorkit.problems.explain import explanation
from authorkit.problems.show import printable

# Gives the physical line of a place in its file (a notebook is a JSON file), from 1.
PhysicalLine = Callable[[Place], int]

_LEVELS = {"error": "error", "warning": "warning", "note": "note"}


def as_sarif(findings: Findings, physical_line: PhysicalLine, version: str) -> str:
    """A SARIF log with one run; accepted findings carry a suppression with the author's reason."""
    results = [_result(problem, physical_line) for problem in findings.open]
    for item in findings.accepted:
        suppression = {"kind": "inSource", "justification": item.because}
        results.append({**_result(item.problem, physical_line), "suppressions": [suppression]})
    used = sorted({result["ruleId"] for result in results})
    driver = {"name": "authorkit", "version": version, "rules": [_rule(rule) for rule in used]}
    log = {
        "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
        "version": "2.1.0",
        "runs": [{"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}],
    }
    return printable(json.dumps(log, indent=1, ensure_ascii=False) + "\n")


def _rule(rule: str) -> dict[str, Any]:
    text = explanation(rule)
    what = text.partition("## What")[2].partition("## ")[0].strip()
    return {
        "id": rule,
        "shortDescription": {"text": what.partition("\n\n")[0].replace("\n", " ")},
        "fullDescription": {"text": what.replace("\n", " ")},
        "help": {"text": text, "markdown": text},
        "defaultConfiguration": {"level": _LEVELS[RULES[rule].severity]},
    }


def _result(problem: Problem, physical_line: PhysicalLine) -> dict[str, Any]:
    message = " ".join(filter(None, (problem.message, problem.suggestion)))
    result: dict[str, Any] = {
        "ruleId": problem.rule,
        "level": _LEVELS[problem.severity],
        "message": {"text": message},
        "locations": [_location(problem.place, physical_line)],
    }
    if problem.also:
        result["relatedLocations"] = [
            {**_location(place, physical_line), "id": number} for number, place in enumerate(problem.also, start=1)
        ]
    return result


def _location(place: Place, physical_line: PhysicalLine) -> dict[str, Any]:
    # A file name that is not UTF-8 keeps its bytes, as the operating system has them.
    physical: dict[str, Any] = {"artifactLocation": {"uri": quote(place.file, errors="surrogateescape")}}
    if place.line:
        physical["region"] = {"startLine": physical_line(place)}
    return {"physicalLocation": physical, "logicalLocations": [{"fullyQualifiedName": str(place)}]}
