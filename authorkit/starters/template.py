"""The form in which starters are written: a Markdown file with the facts in a fenced block.

A level-2 heading begins a new Markdown cell. A block fenced with ```` ```yaml ID ```` becomes a code cell of that id.
`$name` is replaced. A line that holds nothing but `$name` takes a text of several lines, each indented as the line is,
and disappears if the text is empty. A line that begins with `[word] ` or `[not word] `, or several of
them, is kept only if all of them hold.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from importlib import resources
from string import Template

from authorkit.starters.notebook import Cell

_FENCE = re.compile(r"```yaml ([a-z0-9-]+)")
_CONDITION = re.compile(r"( *)\[(not )?([a-z][a-z-]*)\] (.*)")
_BLOCK = re.compile(r"( *)\$([a-z_]+)")
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _+/.Ω%-]*")


def read_template(folder: str, name: str) -> str:
    """The text of a file in a folder of this room ('kinds' or 'first')."""
    return resources.files("authorkit.starters").joinpath(folder, name).read_text(encoding="utf-8")


def fill(text: str, values: Mapping[str, str], applies: Collection[str] = ()) -> str:
    """The text with its conditions decided and its placeholders replaced.

    Raises KeyError for a placeholder without a value, ValueError for a `$` that begins none.
    """
    return "\n".join(_filled(text, values, applies)) + "\n"


def _filled(text: str, values: Mapping[str, str], applies: Collection[str]) -> Iterator[str]:
    for written in text.splitlines():
        line = _decided(written, applies)
        if line is None:
            continue
        block = _BLOCK.fullmatch(line)
        if block is None:
            yield Template(line).substitute(values)
        else:
            yield from (block[1] + each for each in values[block[2]].splitlines())


def _decided(line: str, applies: Collection[str]) -> str | None:
    """The line without its conditions; None if one of them does not hold."""
    while condition := _CONDITION.fullmatch(line):
        indent, negated, word, rest = condition.groups()
        if (word in applies) == bool(negated):
            return None
        line = indent + rest
    return line


def cells_of(text: str) -> tuple[Cell, ...]:
    """The cells of a filled template. The ids of Markdown cells come from their headings, so they stay the same."""
    cells: list[Cell] = []
    for kind, name, lines in _parts(text):
        source = "\n".join(lines).strip("\n")
        if source:
            taken = {cell.id for cell in cells}
            cells.append(Cell("code" if kind else "markdown", _unique(name or _slug(source), taken), source))
    return tuple(cells)


def _parts(text: str) -> Iterator[tuple[bool, str, list[str]]]:
    """Whether it is code, its id if it has one, and its lines."""
    lines: list[str] = []
    name = ""
    for line in text.splitlines():
        fence = _FENCE.fullmatch(line)
        starts_cell = line.startswith("## ") and any(each.startswith("## ") for each in lines)
        if name and line == "```":
            yield True, name, lines
            name, lines = "", []
        elif not name and (fence or starts_cell):
            yield False, "", lines
            name, lines = (fence[1], []) if fence else ("", [line])
        else:
            lines.append(line)
    yield bool(name), name, lines


def _slug(source: str) -> str:
    """'what-the-code-means' from the last heading of a cell, cut to the length that an id may have."""
    headings = [line for line in source.splitlines() if line.startswith("#")] or [source]
    return re.sub(r"[^a-z0-9]+", "-", headings[-1].lower()).strip("-")[:48].rstrip("-") or "text"


def _unique(name: str, taken: Collection[str]) -> str:
    number, unique = 1, name
    while unique in taken:
        number += 1
        unique = f"{name}-{number}"
    return unique


def quoted(text: str) -> str:
    """A text as a YAML scalar in single quotes. Raises ValueError for characters that no line of text has."""
    if not text.isprintable():
        raise ValueError(f"{text!r} holds characters that cannot be printed")
    return "'" + text.replace("'", "''") + "'"


def scalar(text: str) -> str:
    """A text as a YAML scalar that may stand between brackets: plain where that is safe, else in quotes."""
    return text if _PLAIN.fullmatch(text) and text == text.strip() else quoted(text)


def flow(items: Mapping[str, str]) -> str:
    """A mapping from cavities to signal names on one line: `{"1": SIG, "2": GND}`."""
    return "{" + ", ".join(f"{_key(key)}: {scalar(value)}" for key, value in items.items()) + "}"


def _key(cavity: str) -> str:
    return quoted(cavity) if '"' in cavity or "\\" in cavity else f'"{cavity}"'
