"""What the indexes hold: terms in reading order, each with the marks that the typesetter turns into page numbers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from authorkit.output.index_pages import in_order, natural_order
from authorkit.output.pdf.typst_sheet import Mark


@dataclass(frozen=True)
class IndexEntry:
    """A term, the marks of the term itself, and its sub-terms with theirs."""

    term: str
    marks: tuple[str, ...]
    subs: tuple[tuple[str, tuple[str, ...]], ...]


def index_entries(index: str, marks: Iterable[Mark]) -> tuple[IndexEntry, ...]:
    """The entries of one index, from the marks of all pages in their order."""
    terms: dict[str, dict[str, list[str]]] = {}
    for mark in marks:
        if mark.index == index:
            terms.setdefault(mark.term, {}).setdefault(mark.sub, []).append(mark.name)
    return tuple(_entry(term, terms[term]) for term in in_order(index, terms))


def _entry(term: str, subs: dict[str, list[str]]) -> IndexEntry:
    return IndexEntry(
        term,
        tuple(subs.get("", ())),
        tuple((sub, tuple(subs[sub])) for sub in sorted(subs, key=natural_order) if sub),
    )
