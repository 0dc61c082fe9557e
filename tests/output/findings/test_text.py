"""Findings as plain text."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from authorkit.checks.run import Accepted, Findings
from authorkit.output.findings.text import as_text, count_words
from authorkit.problems import Place, Problem

LineOf = Callable[[Place], str | None]


def test_open_findings_come_first_then_the_accepted_then_the_count(findings: Findings, line_of: LineOf) -> None:
    lines = as_text(findings, line_of).split("\n")
    heads = [line for line in lines if line.startswith(("chapters/", "figures/"))]
    assert heads == [
        "chapters/P0118.ipynb, cell 2, line 7, column 12: error: The wire K131 from B5.1 to X12.4 is GN here & BU "
        "there. [wire-two-colours]",
        "chapters/P0118.ipynb, cell 2, line 30: note: The procedure has 2 steps. [procedure-length]",
        "figures/a, b%20c.png: warning: No notebook uses the file 'a, b%20c.png'. [figure-unused]",
        "chapters/P0117.ipynb, cell 1, line 2, column 3: accepted: A note is left. [todo-left] "
        "because: Draft for the class",
    ]
    assert lines[-2:] == ["1 error, 1 warning, 1 note, 1 accepted.", ""]


def test_a_clean_check_says_so(nothing: Findings, line_of: LineOf) -> None:
    assert as_text(nothing, line_of) == "No findings.\n"


def test_nothing_reaches_a_terminal_that_it_would_obey(hostile: Findings, line_of: LineOf) -> None:
    text = as_text(hostile, line_of)
    assert not any(sign in text for sign in "\x1b\x00\u202e")
    text.encode("utf-8")


@pytest.mark.parametrize(
    ("rules", "accepted", "words"),
    [
        ([], 0, "No findings."),
        ([], 1, "1 accepted."),
        (["todo-left"], 0, "1 warning."),
        (["todo-left", "todo-left", "procedure-length"], 0, "2 warnings, 1 note."),
        (["code-twice"] * 3, 2, "3 errors, 2 accepted."),
    ],
)
def test_the_count_in_words(rules: list[str], accepted: int, words: str) -> None:
    problems = [Problem(rule, "It is so.", Place("a", 1, number)) for number, rule in enumerate(rules)]
    set_aside = tuple(Accepted(Problem("todo-left", "A note.", Place("b", 1, n)), "Draft") for n in range(accepted))
    assert count_words(Findings(tuple(problems), set_aside)) == words
