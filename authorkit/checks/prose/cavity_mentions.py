"""Cavities named in plain words: 'pin 32 of M1-A', 'M1-A, cavity 23', 'M1-A.23'."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.passage import Passage
from authorkit.model.point import Point, parse_point
from authorkit.model.reference import find_references


@dataclass(frozen=True)
class CavityMention:
    """One cavity in a text: the point, where it is typed, and whether it is a live reference."""

    point: Point
    start: int
    end: int
    live: bool = False


_WORD = r"(?:pins?|cavit(?:y|ies)|terminals?|contacts?)"
_NAME = r"(?:[A-Z]?\d{1,3}[A-Z]?|[A-Z]\d?)"
_LIST = rf"{_NAME}(?:(?:\s*,\s*|\s+(?:and|or|to)\s+){_NAME})*"
_OWNER = r"(?:\{connector:)?(?P<owner>[A-Za-z][\w+-]*)\}?"
_PATTERNS = (
    re.compile(
        rf"\b(?i:{_WORD})\s+(?P<list>{_LIST})\s+(?:of|at|in|on)\s+(?:the\s+)?(?:(?i:connector|plug)\s+)?{_OWNER}(?!\.\w)"
    ),
    re.compile(rf"(?<![\w.{{:-]){_OWNER},?\s+(?i:{_WORD})\s+(?P<list>{_LIST})(?![\w.]\w)"),
    re.compile(r"(?<![\w.{:/-])(?P<owner>[A-Za-z][\w+-]*)\.(?P<list>[A-Z]?\d{1,3}[A-Z]?|[A-Z]\d?)(?![\w.]\w|\w)"),
)
_WORTH_A_LOOK = re.compile(rf"\b{_WORD}\b|\w\.\w", re.IGNORECASE)


def plain_mentions(passage: Passage) -> Iterator[CavityMention]:
    """Every cavity typed plainly, whether or not it exists, in the order of the text."""
    if _WORTH_A_LOOK.search(passage.text) is None:
        return
    found: dict[tuple[Point, int], CavityMention] = {}
    for pattern in _PATTERNS:
        for match in pattern.finditer(passage.text):
            if passage.names[match.start()].isspace() and not match.group().startswith("{connector:"):
                continue  # inside a live reference, a link or a formula
            for name in re.finditer(_NAME, match["list"]):
                start = match.start("list") + name.start()
                mention = CavityMention(Point(match["owner"], name.group()), match.start(), match.end())
                found.setdefault((mention.point, start), mention)
    yield from sorted(found.values(), key=lambda mention: (mention.start, mention.point))


def live_mentions(passage: Passage) -> Iterator[CavityMention]:
    """Every `{cavity:...}` of a passage."""
    if "{cavity:" in passage.text:
        for reference in find_references(passage.text):
            if reference.kind == "cavity":
                yield CavityMention(parse_point(reference.target), reference.start, reference.end, live=True)
