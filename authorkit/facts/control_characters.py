"""Characters that nobody sees and that must not travel from a notebook into a printed page.

C0 and C1 controls (Unicode, chapter 23.1), the characters that turn the direction of the text around (UAX #9: LRE, RLE,
PDF, LRO, RLO and the isolates), the line separators that editors do not count as lines, halves of surrogate pairs,
a byte-order mark inside a text, and the two non-characters that YAML refuses.
"""

from __future__ import annotations

import re
import unicodedata

from authorkit.problems import Place, Problem

_REFUSED = re.compile(
    "[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\x7f-\\x9f\\u2028\\u2029\\u202a-\\u202e\\u2066-\\u2069\\ud800-\\udfff\\ufeff\\ufffe\\uffff]"
)


def without_control_characters(text: str, at: Place) -> tuple[str, tuple[Problem, ...]]:
    """The text with a space for each such character, and one finding that names the first and counts the others.

    `at` is the place where the text begins: its line and column are where the first character of `text` stands.
    """
    first = _REFUSED.search(text)
    if first is None:
        return text, ()
    count = len(_REFUSED.findall(text))
    others = f", and {count - 1} more in the same text" if count > 1 else ""
    name = name_of(first.group())
    problem = Problem(
        "control-character",
        f"The text holds an invisible character, {name}{others}.",
        _moved(at, text[: first.start()]),
        found=name,
        expected="letters that can be seen",
        suggestion="Delete it, or retype the word that it stands in.",
    )
    return _REFUSED.sub(" ", text), (problem,)


def name_of(character: str) -> str:
    """How to call an invisible character: 'U+202E RIGHT-TO-LEFT OVERRIDE'."""
    return f"U+{ord(character):04X} {unicodedata.name(character, '')}".strip()


def _moved(at: Place, before: str) -> Place:
    lines = before.count("\n")
    start = 1 if lines else max(at.column, 1)
    return Place(at.file, at.cell, max(at.line, 1) + lines, start + len(before) - (before.rfind("\n") + 1))
