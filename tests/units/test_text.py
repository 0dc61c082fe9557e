"""Every way to type a sign comes to one form; numbers stay as typed."""

from __future__ import annotations

from decimal import Decimal

import pytest

from authorkit.units import UnitError
from authorkit.units.text import LONGEST_TEXT, NUMBER, one_form, read_number


@pytest.mark.parametrize(
    ("typed", "form"),
    [
        ("  4.5   V ", "4.5 V"),
        ("4.5\u00a0V", "4.5 V"),
        ("4.5\u202fV", "4.5 V"),
        ("4.5\n  V", "4.5 V"),
        ("5 \u2126", "5 Ω"),
        ("5 \u03bcA", "5 \u00b5A"),
        ("\u221210 \u00baC", "-10 °C"),
        ("\u201310 \u2103", "-10 °C"),
        ("5 \u02daF", "5 °F"),
        ("9 N\u22c5m", "9 N·m"),
        ("5 V +- 2 %", "5 V ± 2 %"),
        ("5 V +/- 2 %", "5 V ± 2 %"),
        ("5 V +\u2212 2 %", "5 V ± 2 %"),
        ("\ufeff5\u200b V", "5 V"),
    ],
)
def test_a_text_is_brought_to_one_form(typed: str, form: str) -> None:
    assert one_form(typed, "a voltage") == form


def test_a_text_too_long_for_a_quantity_is_refused_unread() -> None:
    assert one_form("5" * LONGEST_TEXT, "a voltage")
    with pytest.raises(UnitError, match="a text of 201 characters"):
        one_form("5" * (LONGEST_TEXT + 1), "a voltage")


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("4.50", "4.50"),
        (".5", "0.5"),
        ("+5", "5"),
        ("- 5", "-5"),
        ("1e3", "1000"),
        ("1E-3", "0.001"),
        ("1.50e+2", "150"),
        ("0e5", "0"),
        ("007", "7"),
    ],
)
def test_a_number_keeps_its_decimals_and_loses_its_exponent(text: str, written: str) -> None:
    assert NUMBER.fullmatch(text)
    assert str(read_number(text)) in (written, f"{Decimal(written):f}")


@pytest.mark.parametrize("text", ["1e31", "1e-31", "1e99999", "1e99999999999999999999", "1" * 29, "0." + "0" * 28])
def test_a_number_nobody_means_is_refused(text: str) -> None:
    assert NUMBER.fullmatch(text)
    with pytest.raises(UnitError, match="ordinary size"):
        read_number(text)


@pytest.mark.parametrize("text", ["", ".", "5.", "1,5", "1_000", "0x1F", "٣", "１", "inf", "nan", "--5", "1e", "e3"])
def test_what_is_no_number_is_not_taken_for_one(text: str) -> None:
    assert NUMBER.fullmatch(text) is None
