"""The demo book, read once."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.facts.read_book import read_book
from authorkit.manual.compose import compose
from authorkit.manual.scope import scope_of, share


@pytest.fixture(scope="session")
def demo_book():
    book, problems = read_book(Path(__file__).parents[2])
    assert book is not None
    assert not problems
    return book


@pytest.fixture(scope="session")
def demo_manual(demo_book):
    manual, problems = compose(demo_book)
    assert not problems
    return manual


@pytest.fixture(scope="session")
def scope(demo_book):
    """The scope of a chapter by its code."""
    shared = share(demo_book)
    return lambda code: scope_of(shared, demo_book.chapter(code))
