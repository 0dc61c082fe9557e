"""Headings inside the prose."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.passage import Passage
from authorkit.problems import Place


@dataclass(frozen=True)
class SubHeading:
    """A heading that the page keeps as it is, inside a section or on a front page."""

    text: str
    place: Place


def sub_headings(passage: Passage) -> Iterator[SubHeading]:
    """The headings of a piece of prose."""
    if "#" not in passage.text and "\n-" not in passage.text and "\n=" not in passage.text:
        return
    tokens = passage.tokens
    for number, token in enumerate(tokens):
        if token.type == "heading_open" and token.map:
            yield SubHeading(tokens[number + 1].content, passage.at(passage.line_starts[token.map[0]]))


def folded(text: str) -> str:
    """Letters and digits with single dashes: what is left of a heading in an anchor or in a search."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
