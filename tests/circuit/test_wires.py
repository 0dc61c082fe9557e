"""Wire resistances against published tables."""

from __future__ import annotations

import pytest

from authorkit.circuit.wires import contact_ohms, copper_ohms, fuse_ohms, wire_ohms
from authorkit.model.point import Point
from authorkit.model.wire_colour import parse_colour
from authorkit.model.wiring import Wire
from authorkit.problems import Place
from authorkit.units import parse_quantity

# American gauge → Ω/km of solid copper at 20 °C: conductor tables by ASTM B258 sizes with IEC 60028 copper.
AWG = {10: 3.277, 12: 5.211, 14: 8.286, 16: 13.17, 18: 20.95, 20: 33.31, 22: 52.96, 24: 84.2}

# IEC 60228, class 5, plain copper: the largest Ω/km that a cable of this many mm² may have.
CLASS_5 = {0.5: 39.0, 0.75: 26.0, 1: 19.5, 1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91, 16: 1.21, 25: 0.780}


def wire(size: str, length: str | None) -> Wire:
    ends = (Point("M1-A", "1"), Point("B5", "1"))
    return Wire(
        circuit="K1",
        colour=parse_colour("BU"),
        size=parse_quantity(size, "area"),
        ends=ends,
        place=Place("x"),
        length=parse_quantity(length, "length") if length else None,
    )


@pytest.mark.parametrize(("gauge", "per_km"), AWG.items())
def test_american_gauge_has_the_resistance_of_the_conductor_table(gauge: int, per_km: float) -> None:
    assert wire_ohms(wire(f"{gauge} AWG", "1000 m")) == pytest.approx(per_km, rel=5e-4)


@pytest.mark.parametrize(("area", "limit"), CLASS_5.items())
def test_metric_wire_stays_below_the_limit_of_stranded_cable_by_less_than_its_lay(area: float, limit: float) -> None:
    ohms = wire_ohms(wire(f"{area:g} mm2", "1000 m"))
    assert 0.85 * limit < ohms < limit


def test_copper_at_20_degrees_is_one_fifty_eighth() -> None:
    # IEC 60028: 1/58 Ω·mm²/m.
    assert copper_ohms(1.0, 1e-6) == pytest.approx(0.017241, rel=1e-4)


@pytest.mark.parametrize(("celsius", "factor"), [(30.0, 1 / 0.962), (0.0, 0.9214)])
def test_copper_follows_its_temperature(celsius: float, factor: float) -> None:
    # IEC 60228, correction at 30 °C; 0 °C by the same coefficient.
    assert copper_ohms(1.0, 1e-6, celsius) / copper_ohms(1.0, 1e-6) == pytest.approx(factor, rel=1e-3)


def test_wire_of_untold_length_hardly_counts() -> None:
    assert wire_ohms(wire("0.5 mm2", None)) < 1e-3


def test_thicker_terminals_and_larger_fuses_have_less_resistance() -> None:
    assert contact_ohms(0.5e-6) == pytest.approx(5e-3)
    assert contact_ohms(35e-6) < contact_ohms(4e-6)
    assert fuse_ohms(40.0) < fuse_ohms(5.0)
