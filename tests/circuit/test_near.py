"""What a chapter can reach of the shared wiring is enough: its circuit is the one gathered from all of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.circuit import near, view
from authorkit.circuit.harness import limited
from authorkit.circuit.near import SharedWiring, shared_wiring
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.model.wiring import Wiring
from tests.benchmarks.synthetic import make_book


@pytest.fixture(scope="module", params=["demo", "synthetic"])
def book(request: pytest.FixtureRequest, repo_root: Path, tmp_path_factory: pytest.TempPathFactory) -> Book:
    folder = repo_root
    if request.param == "synthetic":
        folder = tmp_path_factory.mktemp("book")
        make_book(folder, 40)
    found, _ = read_book(folder)
    assert found is not None
    return found


def circuits(book: Book) -> list[Wiring]:
    series = book.vehicle.series_ids
    return [view.circuit_of(book, chapter, name) for chapter in book.chapters for name in series]


def test_circuits_are_those_gathered_from_all_of_the_shared_wiring(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    found = circuits(book)
    monkeypatch.setattr(SharedWiring, "near", lambda self, own: self.wiring)
    assert found == circuits(book)


def test_what_is_near_is_a_small_part_of_a_book_and_in_its_order(book: Book) -> None:
    whole = limited(book.vehicle.wiring, "A")
    index = shared_wiring(book.vehicle.wiring, "A")
    for chapter in book.chapters:
        found = index.near(chapter.wiring)
        assert len(found.wires) < len(whole.wires)
        positions = [whole.wires.index(wire) for wire in found.wires]
        assert positions == sorted(positions)


def test_only_the_last_few_indexes_are_remembered(book: Book) -> None:
    first = shared_wiring(book.vehicle.wiring, "A")
    assert shared_wiring(book.vehicle.wiring, "A") is first
    assert shared_wiring(book.vehicle.wiring, "B") is not first
    others = [Wiring(parts=book.vehicle.wiring.parts) for _ in range(40)]
    for other in others:
        shared_wiring(other, "A")
    assert len(near._remembered) <= 16
    assert shared_wiring(book.vehicle.wiring, "A") is not first
