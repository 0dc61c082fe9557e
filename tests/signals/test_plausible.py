"""Bus signals against the ranges of their standards, and the pictures of the table's own examples within them."""

from __future__ import annotations

import pytest

from authorkit.model.point import parse_point
from authorkit.model.specification import Waveform
from authorkit.problems import Place
from authorkit.signals.plausible import doubts
from authorkit.units import parse_quantity

# Values that circuits with these buses have in print everywhere: 2.5 V at rest, 3.5 V and 1.5 V dominant; a supply less
# a diode and a transistor's residue; 3 µs at 5 V logic.
USUAL = {
    "two-wire-bus": {"recessive": "2.5 V", "dominant-high": "3.5 V", "dominant-low": "1.5 V", "bit-time": "2 us"},
    "one-wire-bus": {"low": "0.9 V", "high": "11.8 V", "bit-time": "52 us"},
    "sent": {"low": "0.2 V", "high": "4.8 V", "tick": "3 us", "nibbles": "0 5 A 3 C 7 2 9"},
}


def _doubts(shape: str, battery: float = 12.6, **changes: str) -> list[str]:
    values = {**USUAL[shape], **{name.replace("_", "-"): value for name, value in changes.items()}}
    pairs = tuple((name, value if name == "nibbles" else parse_quantity(value)) for name, value in values.items())
    waveform = Waveform("bus", parse_point("M1-A.1"), None, Place("x"), shape=shape, values=pairs)
    return [doubt.name for doubt in doubts(waveform, battery)]


@pytest.mark.parametrize("shape", USUAL)
def test_the_usual_values_of_a_bus_are_in_order(shape):
    assert _doubts(shape) == []


@pytest.mark.parametrize(
    ("shape", "name", "inside", "outside"),
    [
        ("two-wire-bus", "recessive", "3 V", "3.01 V"),
        ("two-wire-bus", "recessive", "2 V", "1.99 V"),
        ("two-wire-bus", "dominant-high", "4.5 V", "4.51 V"),
        ("two-wire-bus", "dominant-low", "0.5 V", "0.49 V"),
        ("two-wire-bus", "bit-time", "125 ns", "120 ns"),
        ("one-wire-bus", "bit-time", "50 us", "49 us"),
        ("one-wire-bus", "bit-time", "1 ms", "1.01 ms"),
        ("one-wire-bus", "low", "5.04 V", "5.05 V"),
        ("one-wire-bus", "high", "7.56 V", "7.55 V"),
        ("one-wire-bus", "high", "12.6 V", "12.7 V"),
        ("sent", "tick", "90 us", "90.1 us"),
        ("sent", "tick", "3 us", "2.99 us"),
        ("sent", "low", "0.5 V", "0.51 V"),
        ("sent", "high", "4.1 V", "4.09 V"),
    ],
)
def test_the_ends_of_a_range_belong_to_it(shape, name, inside, outside):
    # The wires of a two-wire bus must also keep their distance, so the other one moves along.
    more = {"dominant-low": {"dominant-high": "2.8 V"}, "dominant-high": {"dominant-low": "2 V"}}.get(name, {})
    more = {key.replace("-", "_"): value for key, value in more.items()}
    assert _doubts(shape, **more, **{name.replace("-", "_"): inside}) == []
    assert _doubts(shape, **more, **{name.replace("-", "_"): outside}) == [name]


def test_the_wires_of_a_bus_keep_their_distance():
    assert _doubts("two-wire-bus", dominant_high="3 V", dominant_low="2 V") == ["dominant-high"]


def test_a_one_wire_bus_goes_with_its_supply():
    assert _doubts("one-wire-bus", battery=24.0) == ["high"]
    assert _doubts("one-wire-bus", battery=24.0, high="23 V") == []


def test_a_frame_has_status_data_and_checksum():
    assert _doubts("sent", nibbles="0 5") == ["nibbles"]
    assert _doubts("sent", nibbles="0 1 2 3 4 5 6 7 8") == ["nibbles"]
    assert _doubts("sent", nibbles="0 1 2") == []
