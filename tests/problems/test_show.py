"""A finding as text in a terminal."""

from __future__ import annotations

import pytest

from authorkit.problems import Place, Problem
from authorkit.problems.show import LONGEST_LINE, excerpt, printable, show_problem

PLACE = Place("chapters/P0118.ipynb", 1, 7, 12)


def no_line(place: Place) -> str | None:
    return None


def test_the_first_line_says_where_how_grave_what_and_which_rule() -> None:
    text = show_problem(Problem("code-reserved", "It is reserved.", PLACE), no_line)
    assert text == "chapters/P0118.ipynb, cell 1, line 7, column 12: error: It is reserved. [code-reserved]"


def test_the_authors_line_is_shown_with_a_marker_under_the_column() -> None:
    typed = "  1: {verdict: B9}"
    problem = Problem("verdict-unknown", "It accuses 'B9'.", Place("a.ipynb", 1, 7, typed.index("B9") + 1))
    _, line, marker = show_problem(problem, lambda place: typed).split("\n")
    assert line == f"    | {typed}"
    assert marker.index("^") == line.index("B9")


def test_the_marker_stays_below_its_letter_behind_tabs() -> None:
    typed = "\tverdict:\tB9"
    problem = Problem("verdict-unknown", "It accuses 'B9'.", Place("a.ipynb", 1, 7, typed.index("B9") + 1))
    _, line, marker = show_problem(problem, lambda place: typed).split("\n")
    assert marker.expandtabs(8).index("^") == line.expandtabs(8).index("B9")


def test_without_a_column_there_is_no_marker() -> None:
    problem = Problem("code-reserved", "It is reserved.", Place("a.ipynb", 1, 7))
    assert "^" not in show_problem(problem, lambda place: "code: C3001")


def test_a_column_beyond_the_line_puts_the_marker_at_its_end() -> None:
    problem = Problem("code-reserved", "It is reserved.", Place("a.ipynb", 1, 7, 99))
    assert show_problem(problem, lambda place: "abc").split("\n")[2] == "    |    ^"


def test_found_expected_suggestion_and_other_places_follow() -> None:
    problem = Problem(
        "wire-two-colours",
        "The wire is GN here and BU there.",
        PLACE,
        found="GN",
        expected="BU",
        suggestion="Look at the wire.",
        also=(Place("chapters/P0117.ipynb", 2, 5), Place("chapters/vehicle.ipynb", 1)),
    )
    assert show_problem(problem, no_line).split("\n")[1:] == [
        "    found: GN",
        "    expected: BU",
        "    suggestion: Look at the wire.",
        "    also: chapters/P0117.ipynb, cell 2, line 5",
        "    also: chapters/vehicle.ipynb, cell 1",
    ]


def test_a_long_line_is_cut_around_the_spot() -> None:
    typed = "word " * 200 + "wrong" + " word" * 200
    column = typed.index("wrong") + 1
    problem = Problem("todo-left", "It is wrong.", Place("a.ipynb", 1, 7, column))
    _, line, marker = show_problem(problem, lambda place: typed).split("\n")
    assert len(line) <= LONGEST_LINE + len("    | ")
    assert line[marker.index("^") :].startswith("wrong")
    assert line[6] == line[-1] == "…"


@pytest.mark.parametrize("column", [1, 2, 55, 56, 57, 500, 944, 945, 999, 1000])
def test_the_cut_line_keeps_the_letter_at_the_column(column: int) -> None:
    typed = "".join(chr(0x4E00 + number) for number in range(1000))
    shown, at = excerpt(typed, column)
    assert shown[at - 1] == typed[column - 1]
    assert len(shown) <= LONGEST_LINE


def test_a_line_without_a_column_is_cut_at_its_end() -> None:
    assert excerpt("x" * 500, 0) == ("x" * (LONGEST_LINE - 2) + "…", 0)


@pytest.mark.parametrize("sign", ["\x1b", "\x00", "\r", "\x7f", "\x9b", "\u2028", "\u202e", "\ud800", "\ufeff"])
def test_what_a_terminal_would_obey_is_replaced_sign_for_sign(sign: str) -> None:
    typed = f"a{sign}[31mB9"
    problem = Problem("verdict-unknown", f"It accuses '{sign}B9'.", Place("a.ipynb", 1, 7, typed.index("B9") + 1))
    text = show_problem(problem, lambda place: typed)
    assert sign not in text
    _, line, marker = text.split("\n")
    assert marker.index("^") == line.index("B9")
    text.encode("utf-8")


def test_letters_of_all_kinds_tabs_and_lines_stay() -> None:
    assert printable("Ω µ °C − 电 😀\tx\n") == "Ω µ °C − 电 😀\tx\n"
