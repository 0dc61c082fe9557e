"""Limits of readings over tolerances."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from authorkit.circuit.netlist import CHASSIS, Element, Netlist, Param, resistor
from authorkit.circuit.solve import Meter, solve
from authorkit.circuit.windows import Extent, extents, is_linear, shared_params

Array = NDArray[np.float64]


def extent_of(netlist: Netlist, a: str, b: str = CHASSIS) -> Extent:
    def evaluate(sets: Array) -> Array:
        return solve(netlist, [Meter(a, b, 10e6)], sets).meters

    return extents(evaluate, netlist.params, shared_params(netlist), is_linear(netlist))[0]


def bridge(count: int = 5) -> Netlist:
    """A bridge of 1000 Ω arms at 12 V whose detector matters; further resistors hang on its left node."""
    widths = {"a": 0.10, "b": 0.10, "c": 0.01, "d": 0.01, "e": 0.50, **{f"x{n}": 0.2 for n in range(count - 5)}}
    ohms = {"a": 1000, "b": 1000, "c": 1000, "d": 1010, "e": 500, **{f"x{n}": 8000 for n in range(count - 5)}}
    ends = {"a": ("p", "l"), "b": ("p", "r"), "c": ("l", CHASSIS), "d": ("r", CHASSIS), "e": ("l", "r")}
    ends |= {f"x{n}": ("l", CHASSIS) for n in range(count - 5)}
    elements = [resistor(name, ends[name], ohms[name], name) for name in widths]
    params = tuple(Param(n, ohms[n], ohms[n] * (1 - widths[n]), ohms[n] * (1 + widths[n])) for n in widths)
    return Netlist((Element("v", "V", "p", CHASSIS, 12.0), *elements), params=params)


def test_divider_has_the_limits_of_its_corners() -> None:
    params = (Param("v", 12.0, 11.0, 13.0), Param("r", 1000.0, 900.0, 1100.0))
    netlist = Netlist(
        (
            Element("v", "V", "p", CHASSIS, 12.0, "v"),
            resistor("r", ("p", "x"), 1000.0, "r"),
            resistor("s", ("x", CHASSIS), 1000.0),
        ),
        params=params,
    )
    found = extent_of(netlist, "x")
    assert found.low == pytest.approx(11 * 1000 / 2100, rel=2e-4)
    assert found.high == pytest.approx(13 * 1000 / 1900, rel=2e-4)
    assert found.basis == "guaranteed"


@pytest.mark.parametrize("point", ["l", "r"])
def test_limits_of_a_bridge_hold_every_sampled_vehicle(point: str) -> None:
    # In a bridge the effect of one resistor changes its sign with the others, so no corner may be left out.
    netlist = bridge()
    found = extent_of(netlist, point)
    chance = np.random.default_rng(5)
    lows, highs = (np.array([getattr(param, end) for param in netlist.params]) for end in ("low", "high"))
    inside = lows + (highs - lows) * chance.random((2000, 5))
    corners = np.where(chance.random((2000, 5)) < 0.5, lows, highs)
    values = solve(netlist, [Meter(point, CHASSIS, 10e6)], np.vstack([inside, corners])).meters[:, 0]
    assert found.basis == "guaranteed"
    assert found.low == pytest.approx(values.min(), abs=1e-9)
    assert found.high == pytest.approx(values.max(), abs=1e-9)


def test_many_tolerances_are_climbed_and_said_so() -> None:
    netlist = bridge(12)
    found = extent_of(netlist, "l")
    assert found.basis == "ascent"
    inside = np.random.default_rng(6)
    lows, highs = ([getattr(param, end) for param in netlist.params] for end in ("low", "high"))
    sets = np.where(inside.random((4000, 12)) < 0.5, lows, highs)
    values = solve(netlist, [Meter("l", CHASSIS, 10e6)], sets).meters[:, 0]
    assert found.low <= values.min()
    assert found.high >= values.max()


def test_one_tolerance_of_two_resistors_is_stepped_through() -> None:
    params = (Param("track", 4e3, 3.2e3, 4.8e3),)
    netlist = Netlist(
        (
            Element("v", "V", "p", CHASSIS, 5.0),
            resistor("upper", ("p", "x"), 2e3, "track"),
            resistor("lower", ("x", CHASSIS), 2e3, "track"),
            resistor("load", ("x", CHASSIS), 3e3),
        ),
        params=params,
    )
    assert extent_of(netlist, "x").basis == "grid"


def test_diode_takes_the_guarantee_away() -> None:
    params = (Param("r", 1000.0, 900.0, 1100.0),)
    netlist = Netlist(
        (
            Element("v", "V", "p", CHASSIS, 12.0),
            resistor("r", ("p", "x"), 1000.0, "r"),
            Element("d", "D", "x", CHASSIS, 1e-14),
        ),
        params=params,
    )
    assert extent_of(netlist, "x").basis == "corners"
