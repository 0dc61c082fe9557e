"""Live references in prose: `{code:P0118}`, `{cavity:M1-A.23}`, `{ground:G1}` ..."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

# kind → what it points at, in words. The braces stay readable in a notebook and mean nothing to Markdown.
REFERENCE_KINDS: dict[str, str] = {
    "code": "a trouble code with a chapter or in the code list",
    "part": "a module or component",
    "connector": "a connector",
    "cavity": "a cavity, written connector.cavity",
    "ground": "a ground point",
    "splice": "a splice",
    "fuse": "a fuse",
    "circuit": "a circuit name",
    "figure": "a figure of this chapter",
    "step": "a step of this chapter's procedure",
    "term": "a term of the glossary",
    "tool": "a tool of the vehicle notebook",
    "reading": "a spec of this chapter, by its name",
    "section": "a section of this chapter",
}

_REFERENCE = re.compile(r"\{([a-z]{2,12}):([^{}\n]{1,80})\}")


@dataclass(frozen=True)
class Reference:
    """One reference: its kind, its target as typed, and where in the text it stands (offsets in characters)."""

    kind: str
    target: str
    start: int
    end: int


def find_references(text: str) -> Iterator[Reference]:
    """Every `{kind:target}` of a text, whether or not the kind is known.

    >>> [(r.kind, r.target) for r in find_references("See {code:P0118} and {step:4}.")]
    [('code', 'P0118'), ('step', '4')]
    """
    for match in _REFERENCE.finditer(text):
        yield Reference(match.group(1), match.group(2).strip(), match.start(), match.end())
