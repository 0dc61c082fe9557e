"""Which parts the wires of a circuit join, told from far."""

from __future__ import annotations

from authorkit.circuit.part_links import grounds_by_part, part_links
from authorkit.model.point import Point
from tests.drawing.written import circuit, wiring_of

SHARED = """
parts:
  FB1: {name: Fuse box, kind: fuse box, connectors: {FB1-C: {"1": F1 OUT}}}
  M1: {name: Module, kind: module, connectors: {M1-A: {"1": IN, "2": OUT, "3": GND}}}
  Y1: {name: Valve, connectors: {Y1: {"1": FEED, "2": CTRL}}}
  B9: {name: Sensor, connectors: {B9: {"1": FEED, "3": GND}}}
in-line: [X1]
splices: [S1, S2]
grounds: {G1: Left, G2: Right}
wires:
  - [FB1-C.1, E1 GN 0.5 mm2, S1, E2 GN 0.5 mm2, X1.1, E2 GN 0.5 mm2, Y1.1]
  - [S1, E3 GN 0.5 mm2, B9.1]
  - [M1-A.2, K1 BU 0.5 mm2, Y1.2]
  - [M1-A.3, Z1 BN 0.5 mm2, S2, Z2 BN 0.5 mm2, G1]
  - [B9.3, Z3 BN 0.5 mm2, S2]
"""


def test_a_spliced_feed_is_a_star_from_its_supply_and_a_ground_joins_nothing():
    links = {link.ends: link.circuits for link in part_links(wiring_of(SHARED))}
    assert links == {("FB1", "Y1"): ("E1", "E2"), ("B9", "FB1"): ("E1", "E3"), ("M1", "Y1"): ("K1",)}


def test_a_net_that_holds_a_point_left_out_joins_nothing():
    links = {link.ends for link in part_links(wiring_of(SHARED), [Point("M1-A", "2")])}
    assert ("M1", "Y1") not in links
    assert ("FB1", "Y1") in links


def test_a_ground_is_found_through_splices_but_not_through_parts():
    assert grounds_by_part(wiring_of(SHARED)) == {"B9": ("G1",), "M1": ("G1",)}


def test_every_section_of_a_way_through_in_line_connectors_counts():
    (link,) = part_links(circuit("11-four-in-line"))
    assert set(link.circuits) == {wire.circuit for wire in circuit("11-four-in-line").wires}
