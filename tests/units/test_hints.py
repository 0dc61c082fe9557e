"""Diagnoses of texts that are no quantity, beyond the table in test_read_quantity."""

from __future__ import annotations

import pytest

from authorkit.units import DIMENSIONS, UnitError, parse_quantity
from authorkit.units.hints import decimal_comma, example_unit, explain, wanted
from authorkit.units.table import BY_SYMBOL


def test_what_is_wanted_names_the_dimension_and_an_example() -> None:
    assert wanted("energy") == "an energy such as '1.3 kW·h'"
    assert wanted(None) == "a number and a unit, such as '4.5 V'"


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_the_unit_of_an_example_is_a_symbol_of_the_table(dimension: str) -> None:
    assert BY_SYMBOL[example_unit(dimension)].dimension == dimension


def test_every_explanation_of_a_wrong_dimension_names_both() -> None:
    for found, text in DIMENSIONS.items():
        for expected, example in DIMENSIONS.items():
            if found != expected:
                error = explain(text, expected)
                assert f"{found} (" in error.found
                assert error.expected.endswith(f"{expected} such as '{example}'")


@pytest.mark.parametrize("text", ["41 AWG", "5/0 AWG", "AWG 99", "-1 ga"])
def test_a_gauge_outside_the_table_is_told_the_sizes_there_are(text: str) -> None:
    with pytest.raises(UnitError, match="no size of the American wire gauge"):
        parse_quantity(text, "area")


def test_a_gauge_where_no_area_is_wanted_is_simply_the_wrong_dimension() -> None:
    with pytest.raises(UnitError, match="Found an area"):
        parse_quantity("41 AWG", "voltage")


def test_a_comma_that_could_be_either_gets_both_readings() -> None:
    error = decimal_comma("1,000 Ω", lambda candidate: candidate)
    assert error.suggestion == "1000 Ω or 1.000 Ω"


@pytest.mark.parametrize(
    ("text", "candidates"),
    [
        ("4,9 to 5,1 V", ["4.9 to 5.1 V"]),
        ("1,234,567 Ω", ["1234567 Ω"]),
        ("0,125 V", ["0.125 V"]),
        ("1,0000 V", ["1.0000 V"]),
        ("1,000 to 2,500 rpm", ["1000 to 2500 rpm"]),
        ("1,000 to 2,5 rpm", ["1.000 to 2.5 rpm"]),
    ],
)
def test_the_readings_of_a_comma_that_are_tried(text: str, candidates: list[str]) -> None:
    tried: list[str] = []

    def read(candidate: str) -> str:
        tried.append(candidate)
        raise UnitError("nothing", "something")

    assert decimal_comma(text, read).suggestion is None
    assert tried == candidates
