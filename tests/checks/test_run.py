"""Running the rules, and what an author accepts."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from authorkit.checks.run import Findings, check_book, settle
from authorkit.problems import Place, Problem

SmallBook = Callable[..., Any]

RED = {"old": "H501 OG 35", "new": "H501 RD 35"}


def accepting(rule: str, where: str = "") -> dict[str, str]:
    """A change that accepts findings of a rule in the chapter P0AA6."""
    narrow = f", where: {where}" if where else ""
    accepted = f"accept: [{{rule: {rule}, because: Inside a box{narrow}}}]"
    return {"old": "related: [P0118]", "new": f"related: [P0118]\n{accepted}"}


@pytest.fixture
def findings(small_book: SmallBook) -> Callable[..., Findings]:
    def check(*changes: dict[str, str], file: str = "chapters/P0AA6.ipynb") -> Findings:
        _, book, reading = small_book({"change": {file: list(changes)}})
        return check_book(book, reading)

    return check


def test_a_finding_is_open_until_it_is_accepted(findings: Callable[..., Findings]) -> None:
    found = findings(RED)
    assert [problem.rule for problem in found.open] == ["high-voltage-colour"]
    assert found.errors == ()
    assert found.accepted == ()


def test_an_accepted_finding_is_set_aside_with_its_reason(findings: Callable[..., Findings]) -> None:
    found = findings(RED, accepting("high-voltage-colour"))
    assert found.open == ()
    assert [(each.problem.rule, each.because) for each in found.accepted] == [("high-voltage-colour", "Inside a box")]


def test_an_acceptance_can_be_narrowed_to_a_text_of_the_message(findings: Callable[..., Findings]) -> None:
    found = findings(RED, {"old": "H502 OG 35", "new": "H502 BU 35"}, accepting("high-voltage-colour", "H502"))
    assert [problem.found for problem in found.open] == ["RD"]
    assert [each.problem.found for each in found.accepted] == ["BU"]


def test_an_acceptance_that_accepts_nothing_is_a_finding(findings: Callable[..., Findings]) -> None:
    found = findings(accepting("high-voltage-colour"))
    assert [problem.rule for problem in found.open] == ["acceptance-unused"]
    assert found.open[0].place.file == "chapters/P0AA6.ipynb"


def test_an_acceptance_of_an_unknown_rule_names_the_nearest(findings: Callable[..., Findings]) -> None:
    found = findings(accepting("high-voltage-color"))
    assert [problem.rule for problem in found.open] == ["acceptance-unknown"]
    assert found.open[0].suggestion == "Did you mean 'high-voltage-colour'?"
    assert found.errors == found.open


def test_an_acceptance_counts_in_its_own_notebook_only(small_book: SmallBook) -> None:
    change = {"old": "related: [P0118]", "new": "related: [P0118]\naccept: [{rule: high-voltage-colour, because: Box}]"}
    case = {"change": {"chapters/P0AA6.ipynb": [RED], "chapters/P0117.ipynb": [change]}}
    _, book, reading = small_book(case)
    assert [problem.rule for problem in check_book(book, reading).open] == ["acceptance-unused", "high-voltage-colour"]


def test_an_acceptance_covers_a_finding_that_names_its_notebook_as_the_other_place(small_book: SmallBook) -> None:
    """Two chapters contradict each other; either of them may accept it."""
    length = {"old": "[M1-A.23, K131 BU/WH 0.5 mm2 1.8 m", "new": "[M1-A.23, K131 BU/WH 0.5 mm2 1.9 m"}
    accepted = "accept: [{rule: wire-length-differs, because: Two harness makers}]"
    change = {"old": "related: [P0118]", "new": f"related: [P0118]\n{accepted}"}
    case = {"change": {"chapters/P0118.ipynb": [length], "chapters/P0117.ipynb": [change]}}
    _, book, reading = small_book(case)
    found = check_book(book, reading)
    assert found.open == ()
    assert [each.problem.place.file for each in found.accepted] == ["chapters/P0118.ipynb"]


@pytest.mark.parametrize("file", ["chapters/vehicle.ipynb", "chapters/P0117.ipynb"])
def test_the_vehicle_notebook_accepts_findings_of_files_without_facts(small_book: SmallBook, file: str) -> None:
    last = {"chapters/vehicle.ipynb": "networks:\n", "chapters/P0117.ipynb": "related: [P0118]\n"}[file]
    accepted = "accept: [{rule: figure-unused, because: For the next edition}]"
    change = {file: [{"old": last, "new": f"{accepted}\n{last}"}]}
    _, book, reading = small_book({"change": change, "add": {"figures/a.png": ""}})
    found = check_book(book, reading)
    if file == "chapters/vehicle.ipynb":
        assert found.open == ()
        assert [each.problem.place for each in found.accepted] == [Place("figures/a.png")]
    else:
        assert [problem.rule for problem in found.open] == ["acceptance-unused", "figure-unused"]


def test_an_acceptance_of_what_only_building_finds_is_not_unused_before(small_book: SmallBook) -> None:
    change = {"old": "related: [P0118]", "new": "related: [P0118]\naccept: [{rule: drawing-incomplete, because: Box}]"}
    _, book, reading = small_book({"change": {"chapters/P0117.ipynb": [change]}})
    assert check_book(book, reading).open == ()
    assert [problem.rule for problem in settle(book, reading).open] == ["acceptance-unused"]
    place = Place("chapters/P0117.ipynb", 2, 3)
    found = settle(book, [Problem("drawing-incomplete", "Part B9 has no wire.", place)])
    assert found.open == ()
    assert [each.because for each in found.accepted] == ["Box"]


def test_a_text_that_no_message_contains_accepts_nothing(findings: Callable[..., Findings]) -> None:
    found = findings(RED, accepting("high-voltage-colour", "nowhere"))
    assert [problem.rule for problem in found.open] == ["high-voltage-colour", "acceptance-unused"]
    assert found.accepted == ()


def test_without_a_book_the_findings_of_reading_remain_in_order() -> None:
    late, early = (Problem("file-missing", "It is not there.", Place(name)) for name in ("b", "a"))
    assert check_book(None, [late, early, late]) == Findings((early, late), ())


def test_findings_do_not_depend_on_the_hash_seed(small_book: SmallBook, tmp_path: Path, repo_root: Path) -> None:
    """Many contradictions at once, so that any set walked in its own order would show."""
    small_book(
        {
            "change": {
                "chapters/P0118.ipynb": [
                    {"old": "[M1-A.23, K131 BU/WH 0.5 mm2 1.8 m", "new": "[M1-A.93, K132 GN 0.75 mm2 1.9 m"},
                    {"old": "0.6 m, B5.1]", "new": "0.9 m, B5.1]"},
                    {"old": "r25: 2.05 kΩ", "new": "r25: 2.2 kΩ"},
                    {"old": "name: Coolant temperature sensor", "new": "name: Sensor"},
                ],
                "chapters/vehicle.ipynb": [{"old": "id: F1, rating: 10 A", "new": "id: F2, rating: 30 A"}],
            }
        }
    )
    program = (
        "import sys, pathlib\n"
        "from authorkit.facts.read_book import read_book\n"
        "from authorkit.checks.run import check_book\n"
        "print(*check_book(*read_book(pathlib.Path(sys.argv[1]))).open, sep='\\n')\n"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-c", program, str(tmp_path)],
            cwd=repo_root,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(outputs) == 1
    assert next(iter(outputs)).count("Problem(") > 6


@pytest.mark.slow
def test_the_time_for_a_chapter_does_not_grow_with_the_book(small_book: SmallBook) -> None:
    """Six times the chapters take about six times the time; a loop over pairs of chapters would take 36 times."""
    files, *_ = small_book()
    facts = next(text for kind, text in files["chapters/P0118.ipynb"] if kind == "facts").removeprefix("%%facts\n")

    def seconds(chapters: int) -> float:
        codes = [f"P1{number:03X}" for number in range(chapters)]
        add = {
            f"chapters/{code}.ipynb": [{"facts": facts.replace("code: P0118", f"code: {code}\nmeaning-source: Maker")}]
            for code in codes
        }
        _, book, reading = small_book({"add": add})
        started = time.perf_counter()
        check_book(book, reading)
        return time.perf_counter() - started

    assert seconds(300) < 15 * seconds(50)
