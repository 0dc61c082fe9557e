from __future__ import annotations

from authorkit.drawing.netlist import natural, read_netlist
from authorkit.model.point import Point
from tests.drawing.written import circuit, wiring_of

TEXT = """
parts:
  M1:
    name: Module
    kind: module
    connectors: {M1: {"10": B, "2": A, "3": C}}
    inside: [{resistor: [M1.2, mid], r: 1 kΩ}]
  B1: {name: Sensor, connectors: {B1: {"1": SIG}}}
in-line: [X1, X2]
splices: [S1]
grounds: {G1: Left strut tower}
feeds: {B+: Battery positive}
wires:
  - [M1.2, W1 RD 0.5 mm2, X1.1, W1 RD/WH 0.5 mm2, X2.7, W1 RD 0.75 mm2, S1]
  - [S1, W1 RD 0.5 mm2, B1.1]
  - [M1.3, W2 BK 1.5 mm2, G1]
  - [B+, W3 RD 1.5 mm2, M1.10]
"""


def test_each_point_is_what_the_book_declares():
    kinds = read_netlist(wiring_of(TEXT)).kinds
    assert {str(point): kind for point, kind in kinds.items()} == {
        "M1.2": "pin",
        "M1.10": "pin",
        "M1.3": "pin",
        "B1.1": "pin",
        "X1.1": "in-line",
        "X2.7": "in-line",
        "S1": "splice",
        "G1": "ground",
        "B+": "feed",
        "mid": "inner",
    }


def test_sections_that_meet_in_an_in_line_connector_are_one_chain():
    chains = read_netlist(wiring_of(TEXT)).chains
    first = next(chain for chain in chains if len(chain.wires) == 3)
    assert first.ends == (Point("M1", "2"), Point("S1"))
    assert first.cavities == (Point("X1", "1"), Point("X2", "7"))
    assert [str(wire.colour) for wire in first.wires] == ["RD", "RD/WH", "RD"]
    assert len(chains) == 4


def test_sections_written_in_any_order_and_direction_give_the_same_chain():
    text = """
parts:
  M1: {name: Module, kind: module, connectors: {M1: {"1": A}}}
  B1: {name: Sensor, connectors: {B1: {"1": SIG}}}
in-line: [X1, X2]
wires: [[X2.1, W1 BU 0.5 mm2, X1.1], [B1.1, W1 GN 0.5 mm2, X2.1], [X1.1, W1 RD 0.5 mm2, M1.1]]
"""
    (chain,) = read_netlist(wiring_of(text)).chains
    if chain.ends[0] != Point("M1", "1"):
        chain = chain.turned()
    assert chain.ends == (Point("M1", "1"), Point("B1", "1"))
    assert [str(wire.colour) for wire in chain.wires] == ["RD", "BU", "GN"]
    assert chain.cavities == (Point("X1", "1"), Point("X2", "1"))


def test_pins_stand_in_the_natural_order_of_their_cavities():
    unit = read_netlist(wiring_of(TEXT)).units[0]
    assert [pin.point.cavity for pin in unit.pins] == ["2", "3", "10"]
    assert [pin.wires for pin in unit.pins] == [1, 1, 1]


def test_natural_order_puts_numbers_by_value_and_copes_with_letters():
    assert sorted(["10", "2", "A1", "1", "87a", "87", "A1/2"], key=natural) == [
        "1",
        "2",
        "10",
        "87",
        "87a",
        "A1",
        "A1/2",
    ]


def test_a_circuit_in_order_has_no_findings():
    assert read_netlist(circuit("08-main-relay")).problems == ()


def test_a_wire_to_itself_is_no_chain():
    netlist = read_netlist(circuit("17-degenerate"))
    assert [chain.wires[0].circuit for chain in netlist.chains] == ["W1"]


def test_a_ring_of_in_line_connectors_ends():
    text = """
in-line: [X1, X2]
wires: [[X1.1, W1 RD 0.5 mm2, X2.1], [X2.1, W1 RD 0.5 mm2, X1.1]]
"""
    (chain,) = read_netlist(wiring_of(text)).chains
    assert len(chain.wires) == 2
