from __future__ import annotations

import pytest

from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.inspect import inspect_texts
from authorkit.drawing.svg_marks import read_marks
from authorkit.drawing.symbols import SYMBOLS, lines_of
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.wire_colour import parse_colour
from authorkit.model.wiring import CavityUse, Connector, Device, Part, Wire, Wiring
from authorkit.problems import Place
from authorkit.units import parse_quantity
from tests.drawing.written import wiring_of

HERE = Place("vehicle.ipynb", 2, 9)
INNER = ("symbol", "library", "inner", "mark", "link")


def values_of(kind):
    """The example of each value, parsed as the table says."""
    found = {}
    for key in DEVICE_KINDS[kind].values:
        if key.takes.startswith("table"):
            continue
        if key.takes == "text":
            found[key.name] = key.example
        elif key.takes.startswith("choice"):
            found[key.name] = key.takes.partition(":")[2].split("|")[0]
        elif key.takes in ("point", "rail") and not key.example[0].isdigit():
            found[key.name] = Point("M1", "9")
        else:
            found[key.name] = parse_quantity(key.example)
    return found


def circuit_with(kind, side):
    """One device between a part's pins, each wired to a pin of a plain part: on the other side, or on both in turn."""
    count = len(DEVICE_KINDS[kind].terminals)
    pins = [Point("D1", str(number)) for number in range(1, count + 1)]
    testers = {"left": ("T2",), "right": ("T1",), "middle": ("T1", "T2")}[side]
    ends = [Point(testers[number % len(testers)], str(number)) for number in range(1, count + 1)]
    colour, size = parse_colour("RD"), parse_quantity("0.5 mm2")
    parts = [Part("D1", "Device", "component", HERE, side=side)]
    parts += [
        Part(name, "Tester", "module", HERE, side="left" if name == "T1" else "right")
        for name in sorted({end.owner for end in ends})
    ]
    return Wiring(
        parts=tuple(parts),
        connectors=tuple(Connector(part.id, part.id, HERE) for part in parts),
        cavities=tuple(CavityUse(point, point.owner, "", HERE) for point in (*pins, *ends)),
        wires=tuple(Wire(f"W{n}", colour, size, (a, b), HERE) for n, (a, b) in enumerate(zip(pins, ends, strict=True))),
        devices=(Device(kind, "D1", tuple(pins), HERE, values_of(kind)),),
    )


def inner_marks(picture):
    marks = read_marks(picture.svg)
    return len(marks.of(*INNER)) + sum(mark.role in INNER for mark in marks.rounds)


def test_every_kind_of_device_has_a_symbol_and_no_symbol_is_idle():
    assert set(SYMBOLS) == set(DEVICE_KINDS)


@pytest.mark.parametrize("side", ["left", "right", "middle"])
@pytest.mark.parametrize("kind", sorted(DEVICE_KINDS))
def test_every_kind_is_drawn_on_either_side_and_in_the_middle(kind, side):
    wiring = circuit_with(kind, side)
    ((picture,), problems) = draw_circuit(wiring)
    assert problems == ()
    assert inner_marks(picture) > 0
    assert inspect_texts(picture.svg) == []


@pytest.mark.parametrize("kind", sorted(DEVICE_KINDS))
def test_what_is_printed_at_a_symbol_stands_in_the_picture(kind):
    wiring = circuit_with(kind, "right")
    ((picture,), _) = draw_circuit(wiring)
    printed = " ".join(text.text for text in read_marks(picture.svg).texts).replace("\u00a0", "\u202f")
    for text in lines_of(wiring.devices[0]):
        assert text.replace("\u00a0", "\u202f") in printed


def test_a_kind_without_symbol_is_reported():
    text = """
parts:
  M1: {name: Module, kind: module, connectors: {M1: {"1": A}}}
  B1: {name: Lamp, connectors: {B1: {"1": SIG}}, inside: [{flux-capacitor: B1.1}]}
wires: [[M1.1, W1 RD 0.5 mm2, B1.1]]
"""
    _, problems = draw_circuit(wiring_of(text))
    assert [problem.message for problem in problems] == [
        "The 'flux-capacitor' inside B1 is not drawn: there is no symbol for it."
    ]


def test_a_device_that_names_a_cavity_of_another_part_is_reported():
    text = """
parts:
  M1: {name: Module, kind: module, connectors: {M1: {"1": A}}}
  B1: {name: Lamp, connectors: {B1: {"1": SIG}}, inside: [{lamp: [B1.1, M1.1], volts: 12 V, watts: 5 W}]}
wires: [[M1.1, W1 RD 0.5 mm2, B1.1]]
"""
    _, problems = draw_circuit(wiring_of(text))
    assert "The lamp inside B1 names M1.1, which belongs to M1." in [problem.message for problem in problems]


def test_values_are_printed_without_their_tolerance():
    device = Device("resistor", "B1", (Point("a"), Point("b")), HERE, {"r": parse_quantity("2.2 kΩ ± 1 %")})
    assert lines_of(device) == ("2.2\u202fkΩ",)


def test_a_fuse_shows_its_number_and_rating():
    values = {"id": "F4", "rating": parse_quantity("40 A")}
    assert lines_of(Device("fuse", "FB1", (Point("a"), Point("b")), HERE, values)) == ("F4 40\u202fA",)


@pytest.mark.parametrize(
    ("rows", "sign"), [(((0, 8), (80, 1)), "−t°"), (((0, 1), (80, 8)), "+t°")], ids=["falling", "rising"]
)
def test_a_thermistor_shows_which_way_its_resistance_goes(rows, sign):
    table = tuple((parse_quantity(f"{degrees} °C"), parse_quantity(f"{ohms} kΩ")) for degrees, ohms in rows)
    device = Device("thermistor", "B1", (Point("a"), Point("b")), HERE, {"table": table})
    assert lines_of(device)[0] == sign


def test_a_relay_has_a_dashed_link_from_its_coil_to_its_contact():
    text = """
parts:
  M1: {name: Module, kind: module, connectors: {M1: {"1": A, "2": B, "3": C}}}
  K1: {name: Relay, kind: relay, connectors: {K1: {"85": "", "86": "", "30": "", "87": ""}},
       inside: [{coil: [K1.86, K1.85], r: 85 Ω}, {contact: [K1.30, K1.87]}]}
  B1: {name: Lamp, connectors: {B1: {"1": SIG}}}
wires: [[M1.1, W1 RD 0.5 mm2, K1.86], [M1.2, W2 RD 0.5 mm2, K1.85], [M1.3, W3 RD 0.5 mm2, K1.30],
        [K1.87, W4 RD 0.5 mm2, B1.1]]
"""
    ((picture,), problems) = draw_circuit(wiring_of(text))
    assert problems == ()
    assert len(read_marks(picture.svg).of("link")) == 1
    assert b"stroke-dasharray:2.4,1.7" in picture.svg


def test_a_series_of_devices_is_drawn_as_one_chain():
    text = """
parts:
  M1: {name: Module, kind: module, connectors: {M1: {"1": A, "2": B}}}
  B1: {name: Lit switch, connectors: {B1: {"1": "", "2": ""}},
       inside: [{resistor: [B1.1, mid], r: 680 Ω}, {led: [mid, B1.2], drop: 2 V}]}
wires: [[M1.1, W1 RD 0.5 mm2, B1.1], [M1.2, W2 RD 0.5 mm2, B1.2]]
"""
    ((picture,), problems) = draw_circuit(wiring_of(text))
    assert problems == ()
    assert not [mark for mark in read_marks(picture.svg).rounds if mark.role == "inner-dot"]
    assert inspect_texts(picture.svg) == []


def test_a_spot_inside_that_three_devices_share_is_joined_by_a_dot():
    text = """
parts:
  M1: {name: Module, kind: module, connectors: {M1: {"1": A, "2": B, "3": C}}}
  B1: {name: Divider, connectors: {B1: {"1": "", "2": "", "3": ""}},
       inside: [{resistor: [B1.1, mid], r: 1 kΩ}, {resistor: [mid, B1.2], r: 1 kΩ}, {resistor: [mid, B1.3], r: 1 kΩ}]}
wires: [[M1.1, W1 RD 0.5 mm2, B1.1], [M1.2, W2 RD 0.5 mm2, B1.2], [M1.3, W3 RD 0.5 mm2, B1.3]]
"""
    ((picture,), problems) = draw_circuit(wiring_of(text))
    assert problems == ()
    assert [mark for mark in read_marks(picture.svg).rounds if mark.role == "inner-dot"]
