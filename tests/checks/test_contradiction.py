"""When two places contradict each other, and how that is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject, subject_of
from authorkit.model.book import Book, Recipe
from authorkit.model.vehicle import SeriesInfo, Vehicle
from authorkit.model.wiring import Series
from authorkit.problems import Place


@dataclass(frozen=True)
class Fact:
    place: Place
    series: Series = ()


@pytest.fixture
def subject(tmp_path: object) -> Subject:
    place = Place("chapters/vehicle.ipynb", 1, 1)
    series = tuple(SeriesInfo(name, f"Series {name}", place) for name in "ABC")
    vehicle = Vehicle("Veldrun Parcel", "", "", place.file, place, series=series)
    return subject_of(Book(tmp_path, Recipe("Small manual"), vehicle, ()))  # type: ignore[arg-type]


@pytest.fixture
def told(subject: Subject) -> Callable[..., list[tuple[str, str, int, int, list[int]]]]:
    """From values with their series, one a line, to each contradiction: values and line numbers."""

    def tell(*said: tuple[str, str]) -> list[tuple[str, str, int, int, list[int]]]:
        facts = [(value, Fact(Place("a", 1, number), tuple(series))) for number, (value, series) in enumerate(said, 1)]
        return [
            (each.earlier, each.later, each.earlier_place.line, each.place.line, [place.line for place in each.also])
            for each in contradictions(facts, subject)
        ]

    return tell


Told = Callable[..., list[tuple[str, str, int, int, list[int]]]]


def test_agreement_is_silent(told: Told) -> None:
    assert told() == []
    assert told(("x", "")) == []
    assert told(("x", ""), ("x", "A"), ("x", "")) == []


def test_the_later_place_is_named_with_the_earlier_one(told: Told) -> None:
    assert told(("x", ""), ("y", "")) == [("x", "y", 1, 2, [1])]


def test_a_value_is_reported_once_with_its_other_places(told: Told) -> None:
    assert told(("x", ""), ("y", ""), ("x", ""), ("y", ""), ("y", "A")) == [("x", "y", 1, 2, [1, 4])]


def test_each_further_value_is_reported(told: Told) -> None:
    assert told(("x", ""), ("y", ""), ("z", "")) == [("x", "y", 1, 2, [1]), ("x", "z", 1, 3, [1])]


def test_values_of_different_series_agree(told: Told) -> None:
    assert told(("x", "A"), ("y", "B"), ("z", "C")) == []


def test_one_common_series_is_enough(told: Told) -> None:
    assert told(("x", "AB"), ("y", "BC")) == [("x", "y", 1, 2, [1])]
    assert told(("x", "A"), ("y", "B"), ("z", "BC")) == [("y", "z", 2, 3, [2])]


def test_a_value_repeated_in_hundreds_of_places_names_a_few(told: Told) -> None:
    ((_, _, _, place, also),) = told(("x", ""), *[("y", "")] * 300)
    assert place == 2
    assert also == [1, 3, 4, 5, 6, 7, 8, 9]
