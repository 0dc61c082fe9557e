"""The book as one harness: indexes, parts put together, what holds on which series."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from authorkit.circuit.harness import (
    absent_parts,
    book_wiring,
    build_harness,
    circuit_points,
    device_points,
    fuse_id,
    limited,
    merged,
    with_inner_points_apart,
)
from authorkit.model.book import Book
from authorkit.model.point import Point, parse_point
from authorkit.model.wiring import Connector, Device, Part, Wiring
from authorkit.problems import Place

BookOf = Callable[..., Book]
HERE = Place("chapters/P0118.ipynb", 1, 2)

VEHICLE = """
modules:
  M1: {name: Engine control module, connectors: {M1-A: {"2": GND, "23": ECT SIG}}}
  M8: {name: Fan module, series: B, connectors: {M8-A: {"1": FEED}}, inside: [{module-supply: M8-A.1}]}
parts:
  FB1: {name: Fuse box, kind: fuse box, connectors: {FB1-C: {"1": F1 OUT}},
        inside: [{fuse: [B+, FB1-C.1], id: F1, rating: 10 A}]}
connectors:
  M1-A: {rows: ["1-24"], colour: GY}
  M8-A: {rows: ["1-4"], series: B}
  FB1-C: {rows: ["1-8"]}
feeds: {B+: {name: Battery positive}}
grounds: {G1: Left strut tower}
splices: {S4: In the harness}
wires:
  - [M1-A.2, Z1 BN 1.5 mm2, G1]
  - {wire: [FB1-C.1, A8 RD 1 mm2, M8-A.1], series: B}
"""
CHAPTER = """
circuit:
  parts:
    M1: {location: On the bulkhead, connectors: {M1-A: {"23": ECT SIG}}}
    B5: {name: Coolant temperature sensor, connectors: {B5: {"1": SIG}},
         inside: [{thermistor: [B5.1, inner], r25: 2 kΩ, beta: 3400 K}]}
    M8: {connectors: {M8-A: {"3": TEST}}}
  connectors: {B5: {rows: ["1 2"]}}
  wires:
    - [M1-A.23, K131 BU 0.5 mm2, B5.1]
"""


@pytest.fixture
def book(book_of: BookOf) -> Book:
    return book_of(VEHICLE, P0118=CHAPTER)


def test_everything_is_found_by_its_point_whoever_says_it(book: Book) -> None:
    harness = build_harness(book)
    assert [use.place.file for use in harness.uses[Point("M1-A", "23")]] == [
        "chapters/vehicle.ipynb",
        "chapters/P0118.ipynb",
    ]
    assert [wire.circuit for wire in harness.wires[Point("G1")]] == ["Z1"]
    assert [wire.circuit for wire in harness.wires[Point("B5", "1")]] == ["K131"]
    assert [device.kind for device in harness.devices[Point("B+")]] == ["fuse"]
    assert list(harness.fuses) == ["F1"]


def test_a_part_is_put_together_from_both_notebooks(book: Book) -> None:
    harness = build_harness(book)
    whole = harness.part("M1")
    assert whole is not None
    assert (whole.name, whole.kind, whole.location) == ("Engine control module", "module", "On the bulkhead")
    assert len(harness.parts["M1"]) == 2
    assert harness.part("M9") is None


def test_a_connector_has_its_part_and_its_layout_wherever_they_stand(book: Book) -> None:
    plug = build_harness(book).connector("M1-A")
    assert plug is not None
    assert (plug.part, plug.colour, len(plug.cavities)) == ("M1", "GY", 24)


@pytest.mark.parametrize("text", ["M1-A.24", "G1", "S4", "B+", "FB1-C.8"])
def test_a_declared_point_is_known(book: Book, text: str) -> None:
    assert build_harness(book).is_known(parse_point(text))


@pytest.mark.parametrize("text", ["M1-A.25", "M9-A.1", "G9", "M1", "inner"])
def test_any_other_point_is_unknown(book: Book, text: str) -> None:
    assert not build_harness(book).is_known(parse_point(text))


def test_a_connector_without_rows_may_have_any_cavity(book_of: BookOf) -> None:
    harness = build_harness(book_of('parts: {B5: {name: Sensor, connectors: {B5: {"1": SIG}}}}'))
    assert harness.is_known(Point("B5", "99"))


def test_merging_takes_the_first_word_on_each_thing_and_keeps_the_first_place() -> None:
    first = Part("B5", "", "", HERE, location="Left", series=("A",))
    second = Part("B5", "Sensor", "component", Place("b"), location="Right", hazards=("airbag",), series=("B",))
    assert merged((first, second)) == Part(
        "B5", "Sensor", "component", HERE, location="Left", hazards=("airbag",), series=("A",)
    )
    assert merged((first,)) is first


def test_merging_sees_a_yes_against_the_default() -> None:
    sealed = Connector("X1", "", HERE, sealed=True, back_probe=False, view="terminal side")
    whole = merged((Connector("X1", "", HERE), sealed))
    assert (whole.sealed, whole.back_probe, whole.view) == (True, False, "terminal side")


def test_the_points_of_a_device_are_its_terminals_and_the_points_in_its_values() -> None:
    values = {"through": Point("M1-A", "2"), "to": Point("B+"), "label": "M1-A.9"}
    device = Device("module-ground", "M1", (Point("M1-A", "41"),), HERE, values)
    assert device_points(device) == (Point("M1-A", "41"), Point("M1-A", "2"), Point("B+"))


def test_a_fuse_is_known_by_its_number_else_by_its_name() -> None:
    assert fuse_id(Device("fuse", "FB1", (), HERE, {"id": "F4"})) == "F4"
    assert fuse_id(Device("fuse", "FB1", (), HERE, {}, name="main")) == "main"


def test_a_part_of_another_series_takes_its_inside_along(book: Book) -> None:
    wirings = (book.vehicle.wiring, book.chapters[0].wiring)
    assert absent_parts(wirings, "A") == {"M8"}
    assert absent_parts(wirings, "B") == frozenset()
    on_a = limited(book.vehicle.wiring, "A", {"M8"})
    assert "M8" not in {record.part for records in (on_a.connectors, on_a.cavities, on_a.devices) for record in records}
    assert {wire.circuit for wire in on_a.wires} == {"Z1"}


def test_the_whole_book_on_one_series(book: Book) -> None:
    on_a, on_b = book_wiring(book, "A"), book_wiring(book, "B")
    assert {wire.circuit for wire in on_a.wires} == {"Z1", "K131"}
    assert {wire.circuit for wire in on_b.wires} == {"Z1", "K131", "A8"}
    assert Point("M8-A", "3") not in circuit_points(on_a)
    assert Point("M8-A", "3") in circuit_points(on_b)


def test_spots_of_one_name_inside_two_parts_stay_apart() -> None:
    devices = tuple(Device("resistor", part, (Point(f"{part}-A", "1"), Point("inner")), HERE) for part in ("M1", "M2"))
    apart = with_inner_points_apart(Wiring(devices=devices))
    assert [device.terminals[1] for device in apart.devices] == [Point("M1#inner"), Point("M2#inner")]
    assert [device.terminals[0] for device in apart.devices] == [Point("M1-A", "1"), Point("M2-A", "1")]


def test_grounds_and_feeds_are_no_inner_spots(book: Book) -> None:
    assert with_inner_points_apart(book.vehicle.wiring).devices[-1].terminals == (Point("B+"), Point("FB1-C", "1"))
