"""The circuit of a chapter: its own facts, and what they hang on."""

from __future__ import annotations

from collections.abc import Callable

from authorkit.circuit.view import circuit_of
from authorkit.model.book import Book
from authorkit.model.point import Point
from authorkit.model.wiring import Wiring

BookOf = Callable[..., Book]

VEHICLE = """
modules:
  M1: {name: Engine control module, connectors: {M1-A: {"1": FEED, "2": GND, "25": 5V REF, "41": SNSR RTN}},
       inside: [{module-ground: M1-A.41, through: M1-A.2}, {reference: M1-A.25, volts: 5 V}]}
  M3: {name: Body module, connectors: {M3-A: {"1": FEED}}}
parts:
  FB1: {name: Fuse box, kind: fuse box, connectors: {FB1-C: {"1": F1 OUT, "2": F2 OUT}},
        inside: [{fuse: [B+, FB1-C.1], id: F1, rating: 10 A}, {fuse: [B+, FB1-C.2], id: F2, rating: 10 A}]}
  HVB1: {name: Pack, connectors: {HVB1-P: {"1": PLUS, "2": MINUS}},
         inside: [{pack: [HVB1-P.1, HVB1-P.2], volts: 288 V}]}
connectors:
  X1: {rows: ["1-4"], in-line: yes}
feeds: {B+: {name: Battery positive}}
grounds: {G1: Left strut tower, G9: Roof}
splices: {S4: Feeds, S20: Sensor supply, S30: Sensor return}
wires:
  - [M1-A.2, Z1 BN 1.5 mm2, G1]
  - [FB1-C.1, A1 RD 1 mm2, S4, A1 RD 1 mm2, M1-A.1]
  - [S4, A3 RD 1 mm2, M3-A.1]
  - [FB1-C.2, A2 RD 1 mm2, X1.1, A2 RD 1 mm2, B9.1]
  - [M1-A.25, V1 YE 0.5 mm2, S20]
  - [M1-A.41, Z2 BN 0.5 mm2, S30]
"""
PLUGS = 'connectors: {B5: {rows: ["1-3"]}}'


def circuit(book: Book, series: str = "A") -> Wiring:
    return circuit_of(book, book.chapters[0], series)


def circuits_in(wiring: Wiring) -> list[str]:
    return [wire.circuit for wire in wiring.wires]


def test_a_sensor_brings_its_return_and_ground_but_no_other_consumer(book_of: BookOf) -> None:
    chapter = """
circuit:
  parts:
    B5: {name: Sensor, connectors: {B5: {"1": SIG, "2": GND}}}
    M1: {connectors: {M1-A: {"23": ECT SIG}}}
  wires: [[M1-A.23, K1 BU 0.5 mm2, B5.1], [S30, K2 BN 0.5 mm2, B5.2]]
"""
    found = circuit(book_of(VEHICLE, P0118=chapter))
    assert circuits_in(found) == ["K1", "K2", "Z2", "Z1"]
    assert [ground.id for ground in found.grounds] == ["G1"]
    assert [part.id for part in found.parts] == ["M1", "B5"]
    assert [device.kind for device in found.devices] == ["module-ground"]


def test_a_feed_is_followed_through_a_splice_and_its_fuse_to_the_battery(book_of: BookOf) -> None:
    chapter = 'circuit: {parts: {B5: {name: Lamp, connectors: {B5: {"1": FEED}}}}, wires: [[S4, K1 RD 1 mm2, B5.1]]}'
    found = circuit(book_of(VEHICLE, P0118=chapter))
    assert circuits_in(found) == ["K1", "A1"]
    assert found.wires[1].ends == (Point("FB1-C", "1"), Point("S4"))
    assert [feed.id for feed in found.feeds] == ["B+"]
    assert [str(device.values["id"]) for device in found.devices] == ["F1"]
    assert "M3" not in {part.id for part in found.parts}


def test_a_shared_line_passes_an_in_line_connector_in_one_piece(book_of: BookOf) -> None:
    chapter = 'circuit: {parts: {B9: {name: Pump, connectors: {B9: {"1": FEED}}}}}'
    found = circuit(book_of(VEHICLE, P0118=chapter))
    assert circuits_in(found) == ["A2", "A2"]
    assert {connector.id for connector in found.connectors} == {"B9", "FB1-C", "X1"}


def test_a_splice_that_leads_to_no_supply_is_left_out(book_of: BookOf) -> None:
    vehicle = VEHICLE + "  - [S4, A9 RD 1 mm2, S20]\n"
    chapter = 'circuit: {parts: {B5: {name: Lamp, connectors: {B5: {"1": FEED}}}}, wires: [[S4, K1 RD 1 mm2, B5.1]]}'
    vehicle = vehicle.replace("  - [M1-A.25, V1 YE 0.5 mm2, S20]\n", "")
    assert circuits_in(circuit(book_of(vehicle, P0118=chapter))) == ["K1", "A1"]


def test_the_inside_of_a_module_that_the_chapter_does_not_name_is_not_entered(book_of: BookOf) -> None:
    chapter = 'circuit: {parts: {B5: {name: Sensor, connectors: {B5: {"1": IN}}}}, wires: [[S30, K1 BU 0.5 mm2, B5.1]]}'
    assert circuits_in(circuit(book_of(VEHICLE, P0118=chapter))) == ["K1"]


def test_splices_in_a_ring_end(book_of: BookOf) -> None:
    vehicle = VEHICLE + "  - [S20, R1 RD 1 mm2, S30]\n  - [S30, R2 RD 1 mm2, S20]\n"
    chapter = 'circuit: {parts: {B5: {name: Lamp, connectors: {B5: {"1": IN}}}}, wires: [[S20, K1 RD 1 mm2, B5.1]]}'
    found = circuits_in(circuit(book_of(vehicle.replace("[M1-A.41, Z2", "[M3-A.1, Z2"), P0118=chapter)))
    assert found[0] == "K1"


def test_a_pack_counts_as_a_supply(book_of: BookOf) -> None:
    vehicle = VEHICLE + "  - [HVB1-P.1, H1 OG 35 mm2, M5-P.1]\n"
    chapter = 'circuit: {parts: {M5: {name: Inverter, connectors: {M5-P: {"1": PLUS}}}}}'
    found = circuit(book_of(vehicle, P0118=chapter))
    assert circuits_in(found) == ["H1"]
    assert [device.kind for device in found.devices] == ["pack"]


def test_facts_of_another_series_stay_out(book_of: BookOf) -> None:
    chapter = """
circuit:
  parts:
    B5: {name: Sensor, connectors: {B5: {"1": SIG}}}
    M1: {note: Lever at the top}
    B6: {name: Heater, series: B, connectors: {B6: {"1": IN}}, inside: [{heater: [B6.1, G9], r: 2 Ω}]}
  wires:
    - {wire: [S30, K1 BU 0.5 mm2, B5.1], series: A}
    - {wire: [S20, K1 BU 0.5 mm2, B5.1], series: B}
"""
    book = book_of(VEHICLE, P0118=chapter)
    on_a, on_b = circuit(book, "A"), circuit(book, "B")
    assert circuits_in(on_a) == ["K1", "Z2", "Z1"]
    assert circuits_in(on_b) == ["K1", "V1"]
    assert [part.id for part in on_a.parts] == ["M1", "B5"]
    assert [part.id for part in on_b.parts] == ["M1", "B5", "B6"]
    assert [ground.id for ground in on_b.grounds] == ["G9"]


def test_a_cavity_that_nobody_names_has_an_empty_signal(book_of: BookOf) -> None:
    chapter = """
circuit:
  parts: {B5: {name: Sensor, connectors: {B5: {"1": SIG}}}, M1: {note: Lever at the top}}
  wires: [[S30, K1 BU 0.5 mm2, B5.3]]
"""
    found = circuit(book_of(VEHICLE, P0118=chapter))
    signals = {str(use.point): use.signal for use in found.cavities}
    assert signals["B5.3"] == ""
    assert signals["B5.1"] == "SIG"
    assert signals["M1-A.41"] == "SNSR RTN"


def test_what_both_notebooks_say_is_there_once(book_of: BookOf) -> None:
    chapter = """
circuit:
  parts:
    M1: {connectors: {M1-A: {"41": SNSR RTN}}, inside: [{module-ground: M1-A.41, through: M1-A.2}]}
    B5: {name: Sensor, connectors: {B5: {"2": GND}}}
  wires: [[S30, K2 BN 0.5 mm2, B5.2]]
  grounds: {G1: Left strut tower}
"""
    found = circuit(book_of(VEHICLE, P0118=chapter))
    assert len(found.grounds) == 1
    assert len({part.id for part in found.parts}) == len(found.parts)


def test_pairs_and_shields_come_with_their_circuits(book_of: BookOf) -> None:
    vehicle = VEHICLE + "pairs: [[D1, D2], [K1, K2]]\nshields: [{wires: [K1, K2], drain: K9}, {wires: [D1]}]\n"
    chapter = """
circuit:
  parts: {B5: {name: Sensor, connectors: {B5: {"1": SIG, "2": GND}}}}
  wires: [[S30, K1 BU 0.5 mm2, B5.1], [S30, K2 BN 0.5 mm2, B5.2]]
"""
    found = circuit(book_of(vehicle, P0118=chapter))
    assert [pair.circuits for pair in found.pairs] == [("K1", "K2")]
    assert [shield.circuits for shield in found.shields] == [("K1", "K2")]
