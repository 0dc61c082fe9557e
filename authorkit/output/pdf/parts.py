"""The parts of the printed manual: what each is typeset from, and where its pages come to stand.

A part is one page of the model (a chapter, the contents, an index). It is typeset alone. What it must know of others
is its first page and the pages of the places it names, so that an edit in one chapter leaves the others as they were.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate


@dataclass(frozen=True)
class Spot:
    """Where a name came to stand: its page, counted from 1, and how far below the page's top, in points."""

    page: int
    below_top: float


@dataclass(frozen=True)
class Layout:
    """How many pages a part has, and the places of its names, on pages counted from the first one of the part."""

    pages: int
    spots: Mapping[str, Spot]


@dataclass(frozen=True)
class Numbers:
    """What a part is told of the rest: the page it begins on, and the pages of the places it names outside itself."""

    first: int
    pages: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Part:
    """Everything that a part is made of but page numbers.

    `files` is what the typesetter reads, by name. `names` are the places it is asked for, `printed` those outside it
    whose pages are printed in it. `row_heads` says of each table whether its first cells name the rows, `turned` are
    the names on pages that are read on their side, `contents` counts the lists that are lines of the contents.
    `timestamp` is the time that the file says it was made, in seconds of the epoch.
    """

    anchor: str
    files: Mapping[str, bytes]
    names: tuple[str, ...]
    printed: tuple[str, ...]
    row_heads: tuple[bool, ...]
    turned: tuple[str, ...]
    contents: int
    timestamp: int

    @cached_property
    def digest(self) -> str:
        """A digest of all of it."""
        digest = hashlib.sha256()
        rest = (self.anchor, self.names, self.printed, self.row_heads, self.turned, self.contents, self.timestamp)
        digest.update(repr(rest).encode("utf-8", "surrogatepass"))
        for name, data in sorted(self.files.items()):
            digest.update(f"\n{name} {hashlib.sha256(data).hexdigest()}".encode())
        return digest.hexdigest()


@dataclass(frozen=True)
class Typeset:
    """A part as a PDF file of its own, tagged, ready to be joined with the others."""

    layout: Layout
    pdf: bytes


@dataclass(frozen=True)
class Fault:
    """Why a part cannot be typeset: a sentence, and what to do about it."""

    message: str
    suggestion: str | None = None


def first_pages(layouts: Sequence[Layout]) -> list[int]:
    """The page of the manual on which each part begins, one after the other."""
    return list(accumulate((layout.pages for layout in layouts[:-1]), initial=1))


def places(layouts: Sequence[Layout]) -> dict[str, Spot]:
    """Where every name stands in the manual."""
    return {
        name: Spot(first - 1 + spot.page, spot.below_top)
        for first, layout in zip(first_pages(layouts), layouts, strict=True)
        for name, spot in layout.spots.items()
    }


def numbers_for(parts: Sequence[Part], layouts: Sequence[Layout]) -> list[Numbers]:
    """What each part is told when these are the layouts; a name without a place is on the first page of its part."""
    firsts = first_pages(layouts)
    pages = {
        name: first - 1 + (layout.spots[name].page if name in layout.spots else 1)
        for part, first, layout in zip(parts, firsts, layouts, strict=True)
        for name in part.names
    }
    return [
        Numbers(first, tuple((name, pages[name]) for name in part.printed))
        for part, first in zip(parts, firsts, strict=True)
    ]


Outcome = Typeset | tuple[Fault, ...]
