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

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from authorkit.checks import RULE_MODULES
from authorkit.checks.run import check_book
from authorkit.facts.read_book import read_book
from authorkit.problems import Place, Problem

CASES = Path(__file__).parent / "cases"
BASE = CASES / "base.yaml"

# A file's text, or the cells of a notebook: [kind, text].
Files = dict[str, str | list[tuple[str, str]]]


def load(path: Path) -> Any:
    """YAML with every scalar as text, as authors' facts are read."""
    return yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def cells_of(written: str | list[dict[str, str]]) -> str | list[tuple[str, str]]:
    """The cells of a notebook with their `%%facts` line; a plain text stays as it is."""
    if isinstance(written, str):
        return written
    return [
        (kind, f"%%facts\n{text}" if kind == "facts" else text) for cell in written for kind, text in cell.items()
    ]


def base_files() -> Files:
    """The small book as files."""
    return {name: cells_of(written) for name, written in load(BASE).items()}


def changed(files: Files, case: dict[str, Any]) -> Files:
    """The small book with what a case changes, adds and removes."""
    files = dict(files)
    for name, changes in case.get("change", {}).items():
        for change in changes:
            files[name] = _replaced(files[name], change["old"], change["new"], name)
    for name, written in case.get("add", {}).items():
        files[name] = cells_of(written)
    for name in case.get("remove", []):
        del files[name]
    return files


def _replaced(content: str | list[tuple[str, str]], old: str, new: str, name: str) -> str | list[tuple[str, str]]:
    cells = [("", content)] if isinstance(content, str) else content
    count = sum(text.count(old) for _, text in cells)
    assert count == 1, f"{old!r} stands {count} times in {name}"
    replaced = [(kind, text.replace(old, new)) for kind, text in cells]
    return replaced[0][1] if isinstance(content, str) else replaced


def write(folder: Path, files: Files) -> None:
    """Write the files into a folder, notebooks as notebooks."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        text = content if isinstance(content, str) else notebook(content)
        path.write_text(text, encoding="utf-8")


def notebook(cells: list[tuple[str, str]]) -> str:
    """A notebook of format 4.5 as JSON text."""
    written = []
    for number, (kind, text) in enumerate(cells, 1):
        cell: dict[str, Any] = {"id": f"cell-{number}", "metadata": {}, "source": text.rstrip("\n")}
        if kind == "md":
            written.append({"cell_type": "markdown", **cell})
        else:
            written.append({"cell_type": "code", "execution_count": None, "outputs": [], **cell})
    return json.dumps({"cells": written, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


def spot(where: dict[str, str], files: Files) -> tuple[str, int, int]:
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
    assert len(hits) == 1, f"{where['line']!r} stands in {len(hits)} lines of {name}"
    cell, line_number = hits[0]
    return name, cell, line_number


def place_spot(place: Place) -> tuple[str, int, int]:
    return place.file, place.cell, place.line


def findings(folder: Path, files: Files) -> tuple[Problem, ...]:
    """Every open finding about the book in these files."""
    write(folder, files)
    book, reading = read_book(folder)
    return check_book(book, reading).open


def all_cases() -> list[Any]:
    return [
        pytest.param(path.stem, case, id=f"{path.stem}: {case['name']}")
        for path in sorted(CASES.glob("*.yaml"))
        if path != BASE
        for case in load(path)
    ]


def test_the_small_book_has_no_finding_at_all(tmp_path: Path) -> None:
    assert findings(tmp_path, base_files()) == ()


@pytest.mark.parametrize(("rule", "case"), all_cases())
def test_a_rule_finds_this_and_nothing_else(rule: str, case: dict[str, Any], tmp_path: Path) -> None:
    files = changed(base_files(), case)
    found = findings(tmp_path, files)
    reading = [problem for problem in found if problem.rule not in {module.RULE for module in RULE_MODULES}]
    assert [problem for problem in reading if problem.rule != rule] == [], "the case itself cannot be read"
    mine = [problem for problem in found if problem.rule == rule]
    expected = case["finds"]
    assert [place_spot(problem.place) for problem in mine] == [spot(each, files) for each in expected], mine
    for problem, each in zip(mine, expected, strict=True):
        assert each["says"] in problem.message
        assert each.get("found", problem.found) == problem.found
        assert each.get("expected", problem.expected) == problem.expected
        assert each.get("suggests", "") in (problem.suggestion or "")
        if "also" in each:
            assert [place_spot(place) for place in problem.also] == [spot(other, files) for other in each["also"]]
