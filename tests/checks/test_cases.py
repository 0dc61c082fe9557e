"""Every rule against its cases: what it finds, where, and when it is silent.

`cases/base.yaml` is a small book without any finding: a file name, then its text, or its cells in order. A case of
`cases/RULE.yaml` changes it in a few words:

    - name: says what the case shows
      change:                    # in one file, each old text stands exactly once
        chapters/P0118.ipynb:
          - {old: K131 BU/WH 0.5 mm2 0.6 m, new: K131 GN 0.5 mm2 0.6 m}
      add: {chapters/P9999.ipynb: [...cells...], figures/a.csv: text}     # further files, or other ones
      remove: [chapters/P0117.ipynb]
      finds:                     # every finding of the rule in reading order; an empty list for a silent case
        - says: is GN here       # part of the message
          file: chapters/P0118.ipynb
          line: K131 GN          # the line at which it stands, or text that only this line of the file has
          also: [{file: chapters/P0117.ipynb, line: ...}]      # optional; then all other places
          found: GN              # optional, exact; so is expected
          suggests: correct      # optional, part of the suggestion

A place is compared with its cell and line. Where a finding speaks of a whole file, `line` is left out; `cell: 2` alone
means the cell as a whole.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from authorkit.checks import RULE_MODULES
from authorkit.checks.run import check_book
from authorkit.problems import Place, Problem

CASES = Path(__file__).parent / "cases"
MODULES = {module.RULE: module for module in RULE_MODULES}

Spot = tuple[str, int, int]


def all_cases() -> list[Any]:
    return [
        pytest.param(path.stem, case, id=f"{path.stem}: {case['name']}")
        for path in sorted(CASES.glob("*.yaml"))
        if path.stem != "base"
        for case in yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    ]


def spot(where: dict[str, str], files: dict[str, Any]) -> Spot:
    """File, cell and line that a case means."""
    name = where["file"]
    if "line" not in where:
        return name, int(where.get("cell", "0")), 0
    content = files[name]
    cells = [("", content)] if isinstance(content, str) else content
    lines = [
        (0 if isinstance(content, str) else number, line_number, line)
        for number, (_, text) in enumerate(cells, 1)
        for line_number, line in enumerate(text.splitlines(), 1)
    ]
    wanted = where["line"]
    whole = [place for *place, line in lines if line.strip() == wanted.strip()]
    hits = whole or [place for *place, line in lines if wanted in line]
    assert len(hits) == 1, f"{wanted!r} stands in {len(hits)} lines of {name}"
    cell, line_number = hits[0]
    return name, cell, line_number


def place_spot(place: Place) -> Spot:
    return place.file, place.cell, place.line


def test_the_small_book_has_no_finding_at_all(small_book: Callable[..., Any]) -> None:
    _, book, reading = small_book()
    assert check_book(book, reading).open == ()


@pytest.mark.parametrize(("rule", "case"), all_cases())
def test_a_rule_finds_this_and_nothing_else(rule: str, case: dict[str, Any], small_book: Callable[..., Any]) -> None:
    files, book, reading = small_book(case)
    assert [problem for problem in reading if problem.rule != rule] == [], "the case itself cannot be read"
    modules = [MODULES[rule]] if rule in MODULES else []
    mine = [problem for problem in check_book(book, reading, modules=modules).open if problem.rule == rule]
    expected = case["finds"]
    assert [place_spot(problem.place) for problem in mine] == [spot(each, files) for each in expected], mine
    for problem, each in zip(mine, expected, strict=True):
        assert is_well_said(problem)
        assert each["says"] in problem.message
        assert each.get("found", problem.found) == problem.found
        assert each.get("expected", problem.expected) == problem.expected
        assert each.get("suggests", "") in (problem.suggestion or "")
        if "also" in each:
            assert [place_spot(place) for place in problem.also] == [spot(other, files) for other in each["also"]]


def is_well_said(problem: Problem) -> bool:
    """Whole sentences that quote what was found and name one thing to do; a place never repeated."""
    suggestion = problem.suggestion or ""
    sentences = problem.message.endswith((".", "?")) and suggestion.endswith((".", "?"))
    return sentences and bool(problem.found) and bool(problem.place.file) and problem.place not in problem.also
