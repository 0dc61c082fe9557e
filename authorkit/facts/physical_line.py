"""From a place in a cell to the line of the file and to its text, for those who show findings."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

_SPACE = re.compile(r"[ \t\r\n]*")
_DECODER = json.JSONDecoder()


def physical_line(path: Path, cell: int, line: int) -> int:
    """The line (from 1) of the file in which line `line` of cell `cell` stands; 1 if that cannot be told.

    A file without cells (`cell` is 0) is counted as it is. Raises nothing: what is no notebook gives 1.
    """
    if cell < 1:
        return max(line, 1)
    try:
        text = path.read_bytes().decode("utf-8-sig")
        return text.count("\n", 0, _offset(text, cell, max(line, 1))) + 1
    except (OSError, ValueError, RecursionError, LookupError):
        return 1


def cell_line(path: Path, cell: int, line: int) -> str | None:
    """The text of line `line` of cell `cell`, of the file itself if `cell` is 0; None if there is no such line."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
        source = json.loads(text)["cells"][cell - 1].get("source", "") if cell > 0 else text
        lines = "".join(source).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    except (OSError, ValueError, RecursionError, LookupError, TypeError, AttributeError):
        return None
    return lines[line - 1] if 0 < line <= len(lines) else None


def _offset(text: str, cell: int, line: int) -> int:
    """Where the string that holds this line begins; the cell itself if the cell has no such line."""
    cells = dict(_members(text, 0))["cells"]
    start = next((at for number, at in enumerate(_items(text, cells), 1) if number == cell), cells)
    if text[start] != "{":
        return start
    source = dict(_members(text, start)).get("source", start)
    if text[source] != "[":
        return source
    passed, last = 1, source
    for at in _items(text, source):
        last = at
        passed += _line_ends(str(_DECODER.raw_decode(text, at)[0]))
        if passed > line:
            break
    return last


def _line_ends(text: str) -> int:
    return text.replace("\r\n", "\n").replace("\r", "\n").count("\n")


def _members(text: str, at: int) -> Iterator[tuple[str, int]]:
    """Key and offset of the value for each member of the JSON object that begins at or after `at`."""
    at = _skip(text, at)
    while text[at] in "{,":
        name = _skip(text, at + 1)
        if text[name] != '"':
            return
        key, end = _DECODER.raw_decode(text, name)
        value = _skip(text, _skip(text, end) + 1)
        yield key, value
        at = _skip(text, _DECODER.raw_decode(text, value)[1])


def _items(text: str, at: int) -> Iterator[int]:
    """The offset of each item of the JSON array that begins at `at`."""
    while text[at] in "[,":
        item = _skip(text, at + 1)
        if text[item] == "]":
            return
        yield item
        at = _skip(text, _DECODER.raw_decode(text, item)[1])


def _skip(text: str, at: int) -> int:
    match = _SPACE.match(text, at)
    return match.end() if match else at
