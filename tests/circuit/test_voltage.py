"""Which points can carry class B voltage.

The limits are those of UN R100 and ISO 6469 (seen in excerpts): above 60 V d.c. or 30 V a.c. r.m.s. The reach is held
against connected components as networkx finds them.
"""

from __future__ import annotations

from collections.abc import Callable

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.circuit.voltage import class_b_in, class_b_points
from authorkit.model.book import Book
from authorkit.model.point import Point, parse_point
from authorkit.model.wire_colour import parse_colour
from authorkit.model.wiring import Device, Feed, Ground, Splice, Wire, Wiring
from authorkit.problems import Place
from authorkit.units import parse_quantity

HERE = Place("chapters/P0AA6.ipynb", 1, 2)
ORANGE = parse_colour("OG")
THICK = parse_quantity("35 mm2")


def wire(first: str, second: str) -> Wire:
    return Wire("H1", ORANGE, THICK, (parse_point(first), parse_point(second)), HERE)


def device(kind: str, terminals: str, part: str = "J1", **values: str) -> Device:
    points = tuple(parse_point(text) for text in terminals.split())
    return Device(kind, part, points, HERE, {key: parse_quantity(text) for key, text in values.items()})


def feed(volts: str | None, current: str = "d.c.") -> Feed:
    return Feed("HV", "High voltage", HERE, volts=parse_quantity(volts) if volts else None, current=current)


def reached(wiring: Wiring) -> dict[str, float]:
    return {str(point): volts for point, volts in class_b_points(wiring).items()}


@pytest.mark.parametrize(
    ("volts", "current", "is_class_b"),
    [
        ("60 V", "d.c.", False),
        ("60.1 V", "d.c.", True),
        ("30 V", "a.c.", False),
        ("30.5 V", "a.c.", True),
        ("48 V", "d.c.", False),
        ("58 V ± 5 %", "d.c.", True),
        (None, "d.c.", False),
    ],
)
def test_a_feed_counts_above_the_limit_of_its_current(volts: str | None, current: str, is_class_b: bool) -> None:
    found = class_b_points(Wiring(feeds=(feed(volts, current),), wires=(wire("HV", "M5-P.1"),)))
    assert (Point("M5-P", "1") in found) is is_class_b


def test_packs_in_series_count_with_their_sum_through_a_disconnect() -> None:
    wiring = Wiring(
        devices=(
            device("pack", "P.1 M.1", volts="144 V"),
            device("pack", "M.2 P.2", volts="144 V"),
            device("fuse", "SD.1 SD.2", rating="125 A"),
        ),
        wires=(wire("M.1", "SD.1"), wire("SD.2", "M.2"), wire("P.1", "M5-P.1")),
    )
    found = reached(wiring)
    assert set(found.values()) == {288.0}
    assert set(found) == {"P.1", "P.2", "M.1", "M.2", "SD.1", "SD.2", "M5-P.1"}


def test_packs_side_by_side_count_once() -> None:
    pair = (device("pack", "P.1 P.2", volts="48 V"), device("pack", "Q.1 Q.2", volts="48 V"))
    wires = (wire("P.1", "Q.1"), wire("P.2", "Q.2"))
    assert reached(Wiring(devices=pair, wires=wires)) == {}


def test_low_batteries_add_up_to_class_b() -> None:
    stack = tuple(device("pack", f"C.{number} C.{number + 1}", volts="24 V") for number in range(1, 4))
    assert set(reached(Wiring(devices=stack)).values()) == {72.0}
    assert reached(Wiring(devices=stack[:2])) == {}


def test_ground_joins_batteries_whose_minus_poles_are_grounded() -> None:
    batteries = (device("battery", "A.1 A.2", volts="12 V"), device("battery", "B.1 B.2", volts="48 V"))
    wires = (wire("A.2", "G1"), wire("B.2", "G2"))
    grounds = (Ground("G1", "left", HERE), Ground("G2", "right", HERE))
    assert reached(Wiring(devices=batteries, wires=wires, grounds=grounds)) == {}


def test_the_reach_ends_at_ground_and_at_what_keeps_its_sides_apart() -> None:
    wiring = Wiring(
        feeds=(feed("288 V"),),
        grounds=(Ground("G1", "left", HERE),),
        devices=(
            device("converter", "D.1 D.2 D.3", volts="14 V"),
            device("block", "M5-P.1 M5-A.1"),
            device("resistor", "M5-P.1 M5-P.2", r="10 kΩ"),
        ),
        wires=(wire("HV", "D.1"), wire("HV", "M5-P.1"), wire("M5-P.2", "G1"), wire("G1", "M1-A.2")),
    )
    assert set(reached(wiring)) == {"HV", "D.1", "M5-P.1", "M5-P.2"}


def test_a_converter_can_be_a_source_itself() -> None:
    wiring = Wiring(devices=(device("converter", "D.1 D.2 D.3", volts="650 V"),), wires=(wire("D.3", "M5-P.1"),))
    assert reached(wiring) == {"D.3": 650.0, "M5-P.1": 650.0}


def test_the_higher_of_two_sources_counts() -> None:
    wiring = Wiring(
        feeds=(feed("400 V"),),
        devices=(device("pack", "P.1 P.2", volts="288 V"),),
        wires=(wire("HV", "P.1"),),
    )
    # A pack is a path too: a fault inside may carry the higher voltage across.
    assert reached(wiring) == {"HV": 400.0, "P.1": 400.0, "P.2": 400.0}


def test_spots_of_one_name_in_two_parts_do_not_join() -> None:
    wiring = Wiring(
        feeds=(feed("288 V"),),
        devices=(device("resistor", "M5-P.1 mid", "M5", r="1 Ω"), device("resistor", "mid M1-A.3", "M1", r="1 Ω")),
        wires=(wire("HV", "M5-P.1"),),
    )
    assert set(reached(wiring)) == {"HV", "M5-P.1"}


def test_a_point_named_in_a_value_is_reached() -> None:
    driver = Device("high-side", "M5", (Point("M5-A", "4"),), HERE, {"to": Point("M5-P", "1")})
    wiring = Wiring(feeds=(feed("288 V"),), devices=(driver,), wires=(wire("HV", "M5-P.1"),))
    assert "M5-A.4" in reached(wiring)


def test_a_source_counts_where_a_chapters_circuit_leaves_it_out(book_of: Callable[..., Book]) -> None:
    vehicle = """
parts:
  HVB1: {name: Pack, connectors: {HVB1-P: {"1": PLUS}}, inside: [{pack: [HVB1-P.1, HVB1-P.2], volts: 288 V, series: A}]}
"""
    chapter = "circuit: {wires: [[HVB1-P.1, H1 OG 35 mm2, M5-P.1]]}"
    other = "circuit: {wires: [[M5-P.1, H2 OG 4 mm2, M7-P.1]]}"
    book = book_of(vehicle, P0AA6=chapter, P0118=other)
    assert class_b_in(book, "A")[Point("M7-P", "1")] == 288.0
    assert class_b_in(book, "B") == {}


POINTS = [f"X.{number}" for number in range(8)] + ["S1", "G1"]
PAIRS = st.lists(st.tuples(st.sampled_from(POINTS), st.sampled_from(POINTS)), max_size=12)


@given(wires=PAIRS, loads=PAIRS, barriers=PAIRS)
def test_the_reach_is_the_component_without_ground_and_barriers(
    wires: list[tuple[str, str]], loads: list[tuple[str, str]], barriers: list[tuple[str, str]]
) -> None:
    wiring = Wiring(
        feeds=(feed("288 V"),),
        grounds=(Ground("G1", "left", HERE),),
        splices=(Splice("S1", HERE),),
        wires=(wire("HV", "X.0"), *(wire(*pair) for pair in wires)),
        devices=(
            *(device("resistor", " ".join(pair), r="1 kΩ") for pair in loads),
            *(device("block", " ".join(pair)) for pair in barriers),
        ),
    )
    graph = nx.Graph([("HV", "X.0"), *wires, *loads])
    graph.remove_nodes_from(["G1"])
    assert set(reached(wiring)) == nx.node_connected_component(graph, "HV")
