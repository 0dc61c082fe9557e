"""The letter code of IEC 60062."""

from __future__ import annotations

import pytest

from authorkit.units import UnitError, as_typed, parse_quantity

# IEC 60062 resistance codes, as an encyclopaedia lists them from BS 1852.
IEC_60062 = {
    "4R7": "4.7 Ω",
    "470R": "470 Ω",
    "4K7": "4.7 kΩ",
    "47K": "47 kΩ",
    "47K3": "47.3 kΩ",
    "470K": "470 kΩ",
    "4M7": "4.7 MΩ",
}


@pytest.mark.parametrize(("code", "value"), IEC_60062.items())
def test_a_code_of_the_standard_is_read_where_a_resistance_is_asked_for(code: str, value: str) -> None:
    assert as_typed(parse_quantity(code, "resistance")) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2k2 Ω", "2.2 kΩ"),
        ("2k2Ω", "2.2 kΩ"),
        ("2k2 ohm", "2.2 kΩ"),
        ("4R7 Ω", "4.7 Ω"),
        ("4n7 F", "4.7 nF"),
        ("4u7 F", "4.7 µF"),
    ],
)
def test_a_code_with_its_unit_is_read_anywhere(text: str, value: str) -> None:
    assert as_typed(parse_quantity(text)) == value


def test_a_capacitance_code_is_read_where_a_capacitance_is_asked_for() -> None:
    assert as_typed(parse_quantity("4n7", "capacitance")) == "4.7 nF"


@pytest.mark.parametrize(
    ("text", "meant"),
    [("2k2", "2.2 kΩ"), ("3V3", "3.3 V"), ("4R7", "4.7 Ω"), ("2M2", "2.2 MΩ")],
)
def test_a_code_without_unit_or_context_is_explained(text: str, meant: str) -> None:
    with pytest.raises(UnitError, match="letter stands for the decimal point") as caught:
        parse_quantity(text)
    assert caught.value.suggestion == meant


@pytest.mark.parametrize("name", ["K131", "R47", "X12", "B5"])
def test_the_name_of_a_wire_or_part_is_never_a_resistance(name: str) -> None:
    with pytest.raises(UnitError):
        parse_quantity(name, "resistance")


def test_a_code_of_another_dimension_is_refused() -> None:
    with pytest.raises(UnitError, match="expected a voltage"):
        parse_quantity("2k2 Ω", "voltage")
    with pytest.raises(UnitError) as caught:
        parse_quantity("3V3", "resistance")
    assert caught.value.suggestion is None
