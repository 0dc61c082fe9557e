"""What differs between the series: on the demo vehicle and on small wirings of two series."""

from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.manual.blocks import Table
from authorkit.manual.scope import share
from authorkit.manual.sections.differences import circuit_with_differences
from authorkit.manual.series_differences import chapter_differences, differences, vehicle_differences
from authorkit.model.wiring import Network
from authorkit.problems import Place
from authorkit.units import parse_quantity
from tests.drawing.written import wiring_of

BASE = """
parts:
  M1: {name: Module, kind: module, connectors: {M1-A: {"1": SIG, "2": GND}}}
  B5: {name: Sensor, connectors: {B5: {"1": SIG, "2": GND}}, inside: [{resistor: [B5.1, B5.2], r: 120 Ω}]}
in-line: [X1]
splices: [S1]
grounds: {G1: Left strut tower}
wires:
  - [M1-A.1, K1 BU 0.5 mm2, X1.1, K1 BU 0.5 mm2, B5.1]
  - [M1-A.2, Z1 BN 0.5 mm2, S1]
  - [B5.2, Z2 BN 0.5 mm2, S1]
"""


def rows(other: str, **more) -> list[tuple[str, str, tuple[str, ...]]]:
    found = differences({"A": wiring_of(BASE), "B": wiring_of(other)}, **more)
    return [(row.kind, row.what, row.series) for row in found]


def test_a_vehicle_of_one_series_or_of_two_alike_differs_in_nothing():
    assert differences({"A": wiring_of(BASE)}) == []
    assert rows(BASE) == []


@pytest.mark.parametrize(
    ("old", "new", "row"),
    [
        ("K1 BU 0.5 mm2, B5.1", "K1 BU/GY 0.5 mm2, B5.1", ("Wire", "K1", ("BU", "BU and BU/GY"))),
        ("Z2 BN 0.5", "Z2 BN 0.75", ("Wire", "Z2", ("0.5\u202fmm²", "0.75\u202fmm²"))),
        ("B5.2, Z2 BN", "B5.2, Z3 BN", ("Wire", "Z2", ("fitted", "not fitted"))),
        ("Left strut", "Right strut", ("Ground", "G1", ("Left strut tower", "Right strut tower"))),
        ("r: 120 Ω", "r: 60 Ω", ("Inside", "B5", ("resistor 120\u202fΩ", "resistor 60\u202fΩ"))),
        ('"1": SIG, "2": GND}}}', '"1": SIGNAL, "2": GND}}}', ("Cavity", "M1-A", ("1 SIG", "1 SIGNAL"))),
        ("X1.1", "X1.2", ("Wire", "K1", ("through X1.1", "through X1.2"))),
        ("name: Sensor", "name: Probe", ("Part", "B5 Sensor", ("Sensor", "Probe"))),
    ],
)
def test_each_kind_of_difference_is_one_row_that_says_only_what_differs(old, new, row):
    assert BASE.count(old) == 1
    assert row in rows(BASE.replace(old, new))


def test_a_connector_that_one_series_lacks_and_the_wires_that_pass_it():
    direct = BASE.replace("X1.1, K1 BU 0.5 mm2, ", "").replace("in-line: [X1]\n", "")
    assert rows(direct) == [
        ("Connector", "X1", ("fitted", "not fitted")),
        ("Wire", "K1", ("through X1", "direct")),
    ]


def test_what_is_inside_a_part_that_one_series_lacks_is_not_listed_again():
    without = BASE[: BASE.index("  B5:")] + BASE[BASE.index("in-line") :]
    assert {kind for kind, _, _ in rows(without)} == {"Part"}


def test_lengths_count_together_over_all_sections():
    first, second = wiring_of(BASE), wiring_of(BASE)
    metres = {"A": (0.4, 0.6), "B": (0.25, 0.75)}

    def measured(wiring, lengths):
        first_wire, second_wire, *rest = wiring.wires
        return replace(
            wiring,
            wires=(
                replace(first_wire, length=parse_quantity(f"{lengths[0]} m")),
                replace(second_wire, length=parse_quantity(f"{lengths[1]} m")),
                *rest,
            ),
        )

    assert differences({"A": measured(first, metres["A"]), "B": measured(second, metres["B"])}) == []
    (row,) = differences({"A": measured(first, (0.4, 0.6)), "B": measured(second, (0.4, 0.9))})
    assert row.series == ("1\u202fm", "1.3\u202fm")


def test_a_bus_with_another_speed_is_a_difference():
    place = Place("x")
    bus = Network("CAN1", "Bus", "two-wire bus", place, ("M1",), "250 kbit/s")
    wirings = {
        series: replace(wiring_of(BASE), networks=(replace(bus, speed=speed),))
        for series, speed in (("A", "250 kbit/s"), ("B", "500 kbit/s"))
    }
    (row,) = differences(wirings)
    assert (row.kind, row.series) == ("Network", ("250 kbit/s", "500 kbit/s"))


def test_wires_that_differ_alike_share_a_row(scope):
    wires = [row for row in chapter_differences(scope("P0A3F")) if row.kind == "Wire"]
    assert [(row.what, row.series) for row in wires] == [("Q401 to Q407", ("through X22", "direct"))]


def test_a_chapter_lists_nothing_that_its_circuit_merely_leaves_out(scope):
    """F3 and its splice feed other parts in both series: the fan circuit of Series B just does not use them."""
    found = {(row.kind, row.what) for row in chapter_differences(scope("P0480"))}
    assert ("Part", "RL1 Fan relay") in found
    assert ("Wire", "A181, A183, Z181, Z183") in found
    assert not {kind for kind, _ in found} & {"Splice", "Feed"}
    assert not any("E103" in what or "FB1-C" in what for _, what in found)


def test_every_row_of_a_chapter_is_true_of_the_whole_vehicle(demo_book, scope):
    whole = {(row.kind, name.strip()) for row in vehicle_differences(share(demo_book)) for name in row.what.split(",")}
    for row in chapter_differences(scope("P0118")):
        for name in row.what.split(","):
            assert (row.kind, name.strip()) in whole or row.kind in ("Inside", "Wire")


def test_the_table_of_a_page_has_a_column_for_each_series(scope):
    tables = [block for block in circuit_with_differences(scope("P0118")) if isinstance(block, Table)]
    assert tables[-1].columns == ("Kind", "Name", "Series A", "Series B")
    assert len(tables[-1].rows) == len(chapter_differences(scope("P0118")))


def test_an_edition_of_one_series_has_no_such_table(demo_book):
    book = replace(demo_book, recipe=replace(demo_book.recipe, series=("A",)))
    assert vehicle_differences(share(book)) == []
