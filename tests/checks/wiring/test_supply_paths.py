"""Following a supply: what it reaches, where it ends."""

from __future__ import annotations

from authorkit.checks.wiring.supply_paths import paths_of, wires_from
from authorkit.model.point import Point, parse_point
from authorkit.model.wire_colour import parse_colour
from authorkit.model.wiring import Device, Ground, Wire, Wiring
from authorkit.problems import Place
from authorkit.units import parse_quantity

HERE = Place("chapters/vehicle.ipynb", 1, 2)


def wire(circuit: str, first: str, second: str, size: str = "1 mm2") -> Wire:
    ends = (parse_point(first), parse_point(second))
    return Wire(circuit, parse_colour("RD"), parse_quantity(size), ends, HERE)


def device(kind: str, *terminals: str) -> Device:
    return Device(kind, "K5", tuple(parse_point(text) for text in terminals), HERE)


def names(wiring: Wiring, start: str, stops_at: float | None = None) -> list[str]:
    return [wire.circuit for wire in wires_from([parse_point(start)], paths_of(wiring), stops_at)]


def test_splices_in_line_connectors_and_closed_contacts_are_passed() -> None:
    wires = (wire("A", "F.1", "S1"), wire("B", "S1", "X.1"), wire("C", "X.1", "K.1"), wire("D", "K.2", "M.1"))
    assert names(Wiring(wires=wires, devices=(device("contact", "K.1", "K.2"),)), "F.1") == ["A", "B", "C", "D"]


def test_loads_and_the_next_fuse_end_the_path() -> None:
    wires = (wire("A", "F.1", "L.1"), wire("B", "L.2", "X.1"), wire("C", "F.1", "G.1"), wire("D", "G.2", "Y.1"))
    devices = (device("lamp", "L.1", "L.2"), device("fuse", "G.1", "G.2"))
    assert names(Wiring(wires=wires, devices=devices), "F.1") == ["A", "C"]


def test_a_ground_point_ends_the_path() -> None:
    wires = (wire("A", "F.1", "G1"), wire("B", "G1", "M.1"))
    assert names(Wiring(wires=wires, grounds=(Ground("G1", "left", HERE),)), "F.1") == ["A"]


def test_a_thin_wire_is_listed_but_not_followed() -> None:
    wires = (wire("A", "F.1", "S1", "16 mm2"), wire("B", "S1", "S2", "1 mm2"), wire("C", "S2", "M.1", "1 mm2"))
    assert names(Wiring(wires=wires), "F.1", stops_at=10e-6) == ["A", "B"]


def test_a_ring_ends() -> None:
    wires = (wire("A", "F.1", "S1"), wire("B", "S1", "F.1"))
    assert names(Wiring(wires=wires), "F.1") == ["A", "B"]


def test_nothing_leads_away_from_a_lonely_point() -> None:
    assert wires_from([Point("F", "1")], paths_of(Wiring())) == []
