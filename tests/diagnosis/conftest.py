"""The demo's book, and the proof of one of its chapters."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from authorkit.circuit.study import Studies
from authorkit.diagnosis.proof import Proof, prove
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book


@pytest.fixture(scope="session")
def book() -> Book:
    found, _ = read_book(Path(__file__).parents[2])
    assert found is not None
    return found


@pytest.fixture(scope="session")
def proof_of(book: Book) -> Callable[[str, str], Proof]:
    studies = Studies(book)

    def of(code: str, series: str) -> Proof:
        chapter = book.chapter(code)
        assert chapter is not None
        return prove(book, chapter, studies.of(chapter, series))

    return of
