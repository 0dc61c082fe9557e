"""A finding as plain text: where, what, the author's own line with a marker under it, what to do."""

from __future__ import annotations

from collections.abc import Callable

from authorkit.problems.place import Place
from authorkit.problems.problem import Problem

# Gives the author's line at a place, or None where it cannot be read.
LineOf = Callable[[Place], str | None]


def show_problem(problem: Problem, line_of: LineOf) -> str:
    """Several lines of text without colour.

    The first line reads `file, cell 1, line 7, column 12: error: sentence [rule-id]`.
    """
    lines = [f"{problem.place}: {problem.severity}: {problem.message} [{problem.rule}]"]
    typed = line_of(problem.place)
    if typed is not None:
        lines.append(f"    | {typed}")
        if problem.place.column:
            lines.append(f"    | {_under(typed, problem.place.column)}")
    for name, value in (("found", problem.found), ("expected", problem.expected), ("suggestion", problem.suggestion)):
        if value:
            lines.append(f"    {name}: {value}")
    lines += [f"    also: {place}" for place in problem.also]
    return "\n".join(lines)


def _under(typed: str, column: int) -> str:
    """A marker under a column; tabs are kept so that it stays aligned."""
    return "".join("\t" if character == "\t" else " " for character in typed[: column - 1]) + "^"
