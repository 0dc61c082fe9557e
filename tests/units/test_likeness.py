"""A mistyped unit is recognised, and never as one a thousand times larger."""

from __future__ import annotations

import pytest

from authorkit.units.likeness import closest, mistaken_for


@pytest.mark.parametrize(
    ("typed", "dimension", "symbols"),
    [
        ("MS", None, ["ms"]),
        ("MV", None, ["mV"]),
        ("KV", None, ["kV"]),
        ("UF", None, ["µF"]),
        ("MM2", None, ["mm²"]),
        ("MOHM", None, ["mΩ", "MΩ"]),
        ("NM", "torque", ["N·m"]),
        ("Volts", None, ["V"]),
        ("k", None, ["kΩ"]),
        ("M", "resistance", ["MΩ"]),
        ("u", "capacitance", ["µF"]),
        ("C", None, ["°C"]),
        ("Vdc", None, ["V"]),
        ("V p-p", None, ["V"]),
        ("mA max.", None, ["mA"]),
        ("V at idle", None, ["V"]),
        ("milivolt", None, ["mV"]),
        ("kilohmm", None, ["kΩ"]),
    ],
)
def test_a_slip_is_traced_to_the_unit_meant(typed: str, dimension: str | None, symbols: list[str]) -> None:
    assert closest(typed, dimension) == symbols


@pytest.mark.parametrize(("typed", "symbols"), [("mohmm", ["mΩ"]), ("Mohmm", ["MΩ"]), ("MOHMM", ["mΩ", "MΩ"])])
def test_a_slip_keeps_milli_and_mega_apart(typed: str, symbols: list[str]) -> None:
    assert closest(typed, "resistance") == symbols


@pytest.mark.parametrize(
    ("typed", "dimension"),
    [("parsec", None), ("V 3", None), ("Vdc", "resistance"), ("x" * 30, None), ("q", None), ("V ± 1", None)],
)
def test_what_resembles_nothing_gets_no_guess(typed: str, dimension: str | None) -> None:
    assert closest(typed, dimension) == []


@pytest.mark.parametrize(
    ("typed", "dimension", "symbols"),
    [
        ("F", "temperature", ["°F"]),
        ("°", "temperature", ["°C", "°F"]),
        ("h", "inductance", ["H"]),
        ("H", "time", ["h"]),
        ("mm", "area", ["mm²"]),
        ("V", "resistance", []),
    ],
)
def test_a_unit_of_another_dimension_may_be_a_slip(typed: str, dimension: str, symbols: list[str]) -> None:
    assert mistaken_for(typed, dimension) == symbols
