"""What a rule looks at."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from authorkit.checks.subject import Subject, subject_of
from authorkit.model.point import Point

SmallBook = Callable[..., Any]

LIMITED = {
    "change": {
        "chapters/vehicle.ipynb": [{"old": "name: Engine control module", "new": "name: M1\n    series: A"}],
        "chapters/P0118.ipynb": [{"old": "set-by: M1\n", "new": "set-by: M1\nseries: B\n"}],
    }
}


@pytest.fixture
def subject(small_book: SmallBook) -> Subject:
    return subject_of(small_book()[1])


@pytest.fixture
def limited(small_book: SmallBook) -> Subject:
    """M1 belongs to series A, the chapter P0118 to series B."""
    return subject_of(small_book(LIMITED)[1])


def test_each_chapter_has_a_circuit_on_each_of_its_series(limited: Subject) -> None:
    made = [(circuit.chapter.code.text, circuit.series) for circuit in limited.circuits]
    assert made == [("P0117", "A"), ("P0117", "B"), ("P0118", "B"), ("P0AA6", "A"), ("P0AA6", "B")]
    assert limited.series_of(limited.book.chapters[1]) == ("B",)


def test_a_vehicle_without_series_has_one_without_a_name(small_book: SmallBook) -> None:
    case = {
        "change": {
            "chapters/vehicle.ipynb": [{"old": "series: {A: {name: Series A}, B: {name: Series B}}\n", "new": ""}],
            "build/manual.yaml": [{"old": "series: [A, B]\n", "new": ""}],
        }
    }
    subject = subject_of(small_book(case)[1])
    assert subject.series == ("",)
    assert len(subject.circuits) == 3
    assert subject.on_series({""}) == ""


def test_a_fact_holds_where_it_its_part_and_its_chapter_do(limited: Subject) -> None:
    vehicle, low, high = limited.book.vehicle.wiring, *(chapter.wiring for chapter in limited.book.chapters[:2])
    use = next(use for use in vehicle.cavities if use.part == "M1")
    assert limited.holds(use) == {"A"}
    assert limited.holds(low.wires[0]) == {"A", "B"}
    assert limited.holds(high.wires[0]) == {"B"}
    assert limited.holds(next(use for use in high.cavities if use.part == "M1")) == frozenset()


def test_series_are_named_only_where_they_are_not_all(subject: Subject) -> None:
    assert subject.on_series({"A", "B"}) == ""
    assert subject.on_series({"B"}) == " on series B"


def test_the_circuit_of_a_chapter_knows_what_is_high_voltage(subject: Subject) -> None:
    high = next(circuit for circuit in subject.circuits if circuit.chapter.code.text == "P0AA6")
    assert high.class_b[Point("M5-P", "1")] == 288.0
    assert Point("G6") in high.points
    assert Point("G6") not in high.class_b
    assert all(not circuit.class_b for circuit in subject.circuits if circuit.chapter is not high.chapter)
