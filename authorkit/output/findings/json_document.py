"""Findings as one JSON document."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from authorkit.checks.run import Findings
from authorkit.problems import Place, Problem
from authorkit.problems.show import printable


def as_json(findings: Findings) -> str:
    """`{"findings": [...], "accepted": [...]}`; places are objects with file, cell, line, column."""
    document = {
        "findings": [_problem(problem) for problem in findings.open],
        "accepted": [{**_problem(item.problem), "because": item.because} for item in findings.accepted],
    }
    return printable(json.dumps(document, indent=1, ensure_ascii=False, sort_keys=True) + "\n")


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "rule": problem.rule,
        "severity": problem.severity,
        "message": problem.message,
        **_place(problem.place),
        "also": [_place(place) for place in problem.also],
        **dict(_quotes(problem)),
    }


def _place(place: Place) -> dict[str, Any]:
    return {"file": place.file, "cell": place.cell, "line": place.line, "column": place.column}


def _quotes(problem: Problem) -> Iterator[tuple[str, str]]:
    for name in ("found", "expected", "suggestion"):
        value = getattr(problem, name)
        if value:
            yield name, value
