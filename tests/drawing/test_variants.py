"""One circuit on several series: what is the same must stand at the same place, and each must be drawn as declared."""

from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.inspect import inspect_joins, inspect_print, inspect_texts
from authorkit.drawing.layout import arranged
from authorkit.drawing.netlist import read_netlist
from authorkit.drawing.svg_marks import read_marks
from authorkit.drawing.variants import draw_variants, like
from authorkit.model.wiring import Wiring
from tests.drawing.written import circuit, wiring_of


def without_in_line(wiring: Wiring) -> Wiring:
    """The same circuit with its in-line connectors left out."""
    ends = {connector.id for connector in wiring.connectors if connector.in_line}
    wires = list(wiring.wires)
    while True:
        pair = next(((a, b) for a in wires for b in wires if a.ends[1] == b.ends[0] and a.ends[1].owner in ends), None)
        if pair is None:
            break
        joined = replace(pair[0], ends=(pair[0].ends[0], pair[1].ends[1]))
        wires = [joined if wire is pair[0] else wire for wire in wires if wire is not pair[1]]
    kept = tuple(connector for connector in wiring.connectors if connector.id not in ends)
    return replace(wiring, connectors=kept, wires=tuple(wires))


def without_wire(wiring: Wiring, number: int) -> Wiring:
    """The same circuit without one of its wires."""
    return replace(wiring, wires=tuple(wire for n, wire in enumerate(wiring.wires) if n != number))


def places(svg: bytes) -> dict[str, tuple[float, float]]:
    """The upper left corner of each cavity's number, by cavity."""
    return {text.node: text.box[:2] for text in read_marks(svg).texts if text.node}


VARIANTS = {
    "in-line connector left out": (circuit("01-thermistor"), without_in_line(circuit("01-thermistor"))),
    "pedal without its in-line connector": (circuit("02-pedal"), without_in_line(circuit("02-pedal"))),
    "a wire less": (circuit("09-h-bridge"), without_wire(circuit("09-h-bridge"), 1)),
    "shared supply": (circuit("07-shared-supply"), without_wire(circuit("07-shared-supply"), 3)),
    "relay": (circuit("04-fan-relay"), without_wire(circuit("04-fan-relay"), 2)),
    "the smaller one first": (without_in_line(circuit("02-pedal")), circuit("02-pedal")),
}


@pytest.mark.parametrize("name", VARIANTS)
def test_each_variant_is_drawn_as_it_is_declared(name):
    for wiring, (pictures, problems) in zip(VARIANTS[name], draw_variants(VARIANTS[name]), strict=True):
        assert inspect_joins([picture.svg for picture in pictures], wiring) == []
        for picture in pictures:
            assert inspect_texts(picture.svg) == []
            assert inspect_print(picture.svg) == []
        assert problems == draw_circuit(wiring)[1]


@pytest.mark.parametrize("name", VARIANTS)
def test_what_is_common_stands_at_the_same_place_in_one_type_size(name):
    ((first,), _), ((second,), _) = draw_variants(VARIANTS[name])
    assert (first.type_size, first.landscape) == (second.type_size, second.landscape)
    assert (first.width_mm, first.height_mm) == pytest.approx((second.width_mm, second.height_mm))
    ours, theirs = places(first.svg), places(second.svg)
    common = ours.keys() & theirs.keys()
    assert len(common) >= 4
    assert {name for name in common if ours[name] != pytest.approx(theirs[name], abs=0.05)} == set()


def test_a_single_series_is_drawn_as_ever():
    wiring = circuit("02-pedal")
    assert draw_variants([wiring]) == (draw_circuit(wiring),)


def test_a_circuit_that_needs_sheets_is_drawn_for_itself():
    large, small = circuit("06b-interlock-twelve"), circuit("01-thermistor")
    assert draw_variants([large, small]) == (draw_circuit(large), draw_circuit(small))


def test_a_series_without_any_wire_hinders_no_other():
    wiring = circuit("01-thermistor")
    assert draw_variants([wiring, Wiring()]) == (draw_circuit(wiring), ((), ()))


def test_circuits_that_have_nothing_in_common_are_still_drawn():
    other = wiring_of(
        'parts: {M9: {kind: module, connectors: {M9: {"1": A}}}, Y9: {connectors: {Y9: {"1": A}}}}\n'
        "wires: [[M9.1, K9 BU 0.5 mm2, Y9.1]]"
    )
    drawn = draw_variants([circuit("01-thermistor"), other])
    assert [problems for _, problems in drawn] == [(), ()]
    assert inspect_joins([picture.svg for picture in drawn[1][0]], other) == []


def test_parts_take_the_order_and_the_side_of_the_model():
    wiring = circuit("07-shared-supply")
    model = arranged(read_netlist(wiring))
    turned = replace(wiring, parts=wiring.parts[::-1])
    assert [part.id for part in like(turned, model).parts] == [part.id for part in like(wiring, model).parts]
    assert {part.side for part in like(turned, model).parts} <= {"left", "right"}
