"""What is wrong with a notebook's JSON, in words that help the person who has to mend it."""

from __future__ import annotations

import json
import re

from authorkit.problems import Place, Problem

_MERGE = re.compile(r"^(?:<{7}|={7}|>{7})(?: .*)?$", re.MULTILINE)

# The decoder's message, cut to its first words → what was expected there.
_EXPECTED = {
    "Expecting property name": "a name in double quotes",
    "Expecting ':'": "a ':' after the name",
    "Expecting ','": "a comma or the closing bracket",
    "Expecting value": "a value",
    "Unterminated string": "a closing double quote",
    "Invalid control character": "a text without raw control characters",
    "Invalid \\": "a known escape such as \\n or \\u00b5",
    "Extra data": "the end of the file",
    "Illegal trailing comma": "a value after the comma",
}


def explain_json(error: ValueError | RecursionError, text: str, file: str) -> Problem:
    """The finding for a file that is not readable JSON."""
    merge = _MERGE.search(text)
    if not text.strip():
        return _finding(Place(file), "is empty", "no text at all", "a notebook")
    if merge:
        line = text.count("\n", 0, merge.start()) + 1
        found = merge.group()[:60]
        return _finding(Place(file, 0, line, 1), "holds an unresolved merge", found, "one version of each cell")
    if isinstance(error, json.JSONDecodeError):
        expected = next((words for start, words in _EXPECTED.items() if error.msg.startswith(start)), "valid JSON")
        found = text[error.pos : error.pos + 20].split("\n")[0] or "the end of the line"
        if error.pos >= len(text):
            found = "the end of the file"
        place = Place(file, 0, error.lineno, error.colno)
        return _finding(place, f"cannot be read as JSON from line {error.lineno} on", found, expected)
    what = "is nested too deeply" if isinstance(error, RecursionError) else "holds a number of absurd length"
    return _finding(Place(file), what, "JSON that no notebook has", "a notebook")


def _finding(place: Place, what: str, found: str, expected: str) -> Problem:
    return Problem(
        "notebook-damaged",
        f"The file '{place.file}' {what}.",
        place,
        found=found,
        expected=expected,
        suggestion="Restore the file from its last good copy, or mend that line in a text editor.",
    )
