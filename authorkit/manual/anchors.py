"""Where in the manual a name is told about."""

from __future__ import annotations

import re

from authorkit.circuit.names import Name

# Names that the pages at the back of the manual list, each with an anchor of its own.
_LISTED = ("part", "connector", "ground", "fuse", "term", "tool")


def anchor_of(name: Name) -> str | None:
    """The anchor that a reference to `name` leads to; None if the manual has no place for it.

    A code with a chapter leads to the chapter, one that is only listed to the list of codes.
    """
    if name.kind == "code":
        return name.chapter or listed_code_anchor(name.id)
    if name.kind in _LISTED:
        return listed_anchor(name.kind, name.id)
    if name.kind == "cavity":
        return listed_anchor("connector", name.id.partition(".")[0])
    if name.kind == "reading":
        return inside(name.chapter, "table", "readings")
    if name.kind in ("figure", "step", "section"):
        return inside(name.chapter, name.kind, name.id)
    return None


def inside(code: str, kind: str, name: str) -> str:
    """The anchor of something inside a chapter: `P0118-step-4`."""
    return f"{code}-{kind}-{_plain(name)}"


def listed_anchor(kind: str, name: str) -> str:
    """The anchor of an entry at the back: `connector-M1-A`."""
    return f"{kind}-{_plain(name)}"


def listed_code_anchor(code: str) -> str:
    """The anchor of a row in the list of codes."""
    return f"listed-{code}"


def _plain(name: str) -> str:
    """Letters, digits and dashes only: what HTML ids and file names take everywhere.

    Any other character is written as its code point, so that two names never share an anchor ('B+' is not 'B').
    """
    return re.sub(r"[^A-Za-z0-9-]", lambda match: f"_{ord(match.group()):x}", name)
