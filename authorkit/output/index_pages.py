"""Which indexes a page shows, and in which order their terms stand: the same in HTML and in print."""

from __future__ import annotations

import re
from collections.abc import Iterable

from authorkit.manual.blocks import INDEXES, Page

_NUMBER = re.compile(r"(\d+)")


def indexes_on(page: Page) -> tuple[str, ...]:
    """The indexes that a page of kind 'index' shows: the one its title names, otherwise all of them."""
    named = tuple(key for key, title in INDEXES.items() if title == page.title)
    return named or tuple(INDEXES)


def in_order(index: str, terms: Iterable[str]) -> list[str]:
    """Terms as an index lists them; codes go by their signs, for their digits are hexadecimal."""
    return sorted(terms) if index == "code" else sorted(terms, key=natural_order)


def natural_order(term: str) -> tuple[tuple[tuple[bool, int, str], ...], str]:
    """A sorting key: 'M1-A.9' before 'M1-A.10', capitals beside small letters."""
    parts = [part for part in _NUMBER.split(term.casefold()) if part]
    return tuple((not part.isdecimal(), int(part) if part.isdecimal() else 0, part) for part in parts), term
