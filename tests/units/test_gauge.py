"""American wire gauge against published tables."""

from __future__ import annotations

from decimal import Decimal

import pytest

from authorkit.units import UnitError, parse_quantity, show_plain
from authorkit.units.gauge import gauge_area, is_gauge, read_gauge, write_gauge

# ASTM B258 sizes: three independent published tables agree to these digits (mm²).
ASTM_B258 = {10: 5.261, 12: 3.309, 14: 2.081, 16: 1.309, 18: 0.8230, 20: 0.5176, 22: 0.3255, 24: 0.2047}
# Large sizes as a cable application guide prints them, "derived from ASTM and IEC 60228" (mm²).
LARGE = {
    "4/0": 107,
    "3/0": 85.0,
    "2/0": 67.4,
    "1/0": 53.5,
    "1": 42.4,
    "2": 33.6,
    "4": 21.2,
    "6": 13.3,
    "8": 8.37,
}


@pytest.mark.parametrize(("number", "area"), ASTM_B258.items())
def test_the_area_is_the_published_one(number: int, area: float) -> None:
    # Four digits are printed, so half a unit of the last one is allowed.
    assert gauge_area(Decimal(number)) * 1e6 == pytest.approx(area, abs=0.5 * 10 ** (-4 if area < 1 else -3))


@pytest.mark.parametrize(("text", "area"), LARGE.items())
def test_the_area_of_a_battery_cable_is_the_published_one(text: str, area: float) -> None:
    assert parse_quantity(f"{text} AWG").base * 1e6 == pytest.approx(area, rel=3e-3)


def test_the_two_defining_sizes_are_exact() -> None:
    # ASTM B258: 36 AWG is 0.005 in (0.127 mm), 4/0 AWG is 0.46 in, 92 times as thick.
    assert gauge_area(Decimal(-3)) / gauge_area(Decimal(36)) == pytest.approx(92**2, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("18", 18),
        ("1", 1),
        ("0", 0),
        ("00", -1),
        ("0000", -3),
        ("1/0", 0),
        ("2/0", -1),
        ("4/0", -3),
        ("40", 40),
    ],
)
def test_a_gauge_is_read(text: str, number: int) -> None:
    assert read_gauge(text) == number


@pytest.mark.parametrize("text", ["", "41", "5/0", "0/0", "18.5", "-1", "1/1", "00000", "٣", "1e1", "018"])
def test_what_is_no_gauge_is_not_read(text: str) -> None:
    assert read_gauge(text) is None


@pytest.mark.parametrize("number", range(-3, 41))
def test_every_gauge_is_written_so_that_it_is_read_back(number: int) -> None:
    assert is_gauge(Decimal(number))
    assert read_gauge(write_gauge(Decimal(number))) == number


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("AWG 18", "18 AWG"),
        ("AWG18", "18 AWG"),
        ("18 ga", "18 AWG"),
        ("00 AWG", "2/0 AWG"),
        ("AWG 4/0", "4/0 AWG"),
    ],
)
def test_the_ways_to_type_a_gauge_come_to_one(typed: str, shown: str) -> None:
    assert show_plain(parse_quantity(typed)) == shown


@pytest.mark.parametrize("text", ["18.5 AWG", "41 AWG", "-1 AWG", "5/0 AWG", "AWG 99", "18 AWG ± 1 %"])
def test_a_size_the_standard_does_not_have_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="gauge"):
        parse_quantity(text)


def test_a_thicker_wire_has_the_smaller_number() -> None:
    areas = [gauge_area(Decimal(number)) for number in range(-3, 41)]
    assert areas == sorted(areas, reverse=True)
