"""A finding as plain text: where, what, the author's own line with a marker under it, what to do."""

from __future__ import annotations

import re
from collections.abc import Callable

from authorkit.problems.place import Place
from authorkit.problems.problem import Problem

# Controls, marks that turn the direction of text, halves of surrogate pairs, and signs that no file may hold. Terminals
# obey some of them, and no encoder writes the others.
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]"
)

LONGEST_LINE = 110
"""Characters of an author's line that are shown; with its frame it fits a terminal of 120 columns."""

# Gives the author's line at a place, or None where it cannot be read.
LineOf = Callable[[Place], str | None]


def show_problem(problem: Problem, line_of: LineOf) -> str:
    """Several lines of text without colour.

    The author's line may hold anything; what cannot be shown is replaced, sign for sign.
    The first line reads `file, cell 1, line 7, column 12: error: sentence [rule-id]`.
    """
    lines = [f"{problem.place}: {problem.severity}: {problem.message} [{problem.rule}]"]
    typed = line_of(problem.place)
    if typed is not None:
        shown, column = excerpt(typed, problem.place.column)
        lines.append(f"    | {shown}")
        if column:
            lines.append(f"    | {_under(shown, column)}")
    for name, value in (("found", problem.found), ("expected", problem.expected), ("suggestion", problem.suggestion)):
        if value:
            lines.append(f"    {name}: {value}")
    lines += [f"    also: {place}" for place in problem.also]
    return printable("\n".join(lines))


def excerpt(typed: str, column: int) -> tuple[str, int]:
    """A line of at most LONGEST_LINE characters, cut around the column, and where the column is in it.

    A paragraph of prose is often typed as one line; the whole of it would hide the spot.
    """
    if len(typed) <= LONGEST_LINE:
        return typed, column
    start = min(max(column - LONGEST_LINE // 2, 0), len(typed) - LONGEST_LINE + 2)
    end = start + LONGEST_LINE - 2
    before, after = "…" if start else "", "…" if end < len(typed) else ""
    return f"{before}{typed[start:end]}{after}", column and column - start + len(before)


def printable(text: str) -> str:
    """The text with a replacement sign for each character that cannot be shown; lines and tabs stay."""
    return _UNPRINTABLE.sub("\ufffd", text)


def _under(typed: str, column: int) -> str:
    """A marker under a column; tabs are kept so that it stays aligned."""
    return "".join("\t" if character == "\t" else " " for character in typed[: column - 1]) + "^"
