from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.fold import fold_across, fold_down
from authorkit.drawing.layout import lay_out
from authorkit.drawing.netlist import CUT, read_netlist
from authorkit.drawing.paint import Emphasis
from authorkit.drawing.svg_marks import read_marks
from tests.drawing.written import circuit


def halves(sheets):
    """Letter → the whole ends of its two halves."""
    found = {}
    for sheet in sheets:
        for wire in sheet.wires:
            for end, other in (wire.ends, wire.ends[::-1]):
                if end.owner.startswith(CUT):
                    found.setdefault(end.owner.split()[0], []).append(str(other))
    return found


def whole_wires(sheets):
    """Every wire of all sheets, halves put together."""
    pairs = [
        tuple(sorted(str(end) for end in wire.ends))
        for sheet in sheets
        for wire in sheet.wires
        if not any(end.owner.startswith(CUT) for end in wire.ends)
    ]
    return sorted([*pairs, *(tuple(sorted(ends)) for ends in halves(sheets).values())])


def declared(wiring):
    return sorted(tuple(sorted(str(end) for end in wire.ends)) for wire in wiring.wires)


@pytest.mark.parametrize("name", ["06b-interlock-twelve", "10-injectors", "13-lamps", "14-forty-wires"])
@pytest.mark.parametrize("capacity", [80.0, 120.0, 150.0])
def test_folding_downwards_keeps_every_wire_once(name, capacity):
    wiring = circuit(name)
    sheets = fold_down(lay_out(read_netlist(wiring), Emphasis()).placed, capacity)
    assert len(sheets) > 1
    assert whole_wires(sheets) == declared(wiring)


@pytest.mark.parametrize("name", ["11-four-in-line", "07-shared-supply", "08-main-relay", "04-fan-relay"])
def test_folding_across_keeps_every_wire_once(name):
    wiring = circuit(name)
    sheets = fold_across(lay_out(read_netlist(wiring), Emphasis()).placed)
    assert len(sheets) == 2
    assert whole_wires(sheets) == declared(wiring)


@pytest.mark.parametrize("name", ["06b-interlock-twelve", "13-lamps"])
def test_every_letter_stands_on_two_sheets(name):
    sheets = fold_down(lay_out(read_netlist(circuit(name)), Emphasis()).placed, 100.0)
    assert halves(sheets)
    assert all(len(ends) == 2 for ends in halves(sheets).values())


def test_a_whole_part_is_on_one_sheet_with_all_its_devices():
    wiring = circuit("13-lamps")
    sheets = fold_down(lay_out(read_netlist(wiring), Emphasis()).placed, 100.0)
    for number in range(1, 9):
        where = [sheet for sheet in sheets if any(part.id == f"E{number}" for part in sheet.parts)]
        assert len(where) == 1
        assert any(device.part == f"E{number}" for device in where[0].devices)


def test_a_splice_is_on_one_sheet():
    sheets = fold_down(lay_out(read_netlist(circuit("10-injectors")), Emphasis()).placed, 100.0)
    assert sum(any(splice.id == "S60" for splice in sheet.splices) for sheet in sheets) == 1


def test_what_no_wire_touches_is_shown_on_the_first_sheet_only():
    wiring = circuit("14-forty-wires")
    spare = wiring.wires[0]
    less = replace(wiring, wires=wiring.wires[1:])
    sheets = fold_down(lay_out(read_netlist(less), Emphasis()).placed, 150.0)
    for end in spare.ends:
        assert [any(use.point == end for use in sheet.cavities) for sheet in sheets] == [
            True,
            *[False] * (len(sheets) - 1),
        ]


def test_fewer_sheets_are_worth_slightly_smaller_print_but_never_the_smallest():
    """Three pages at 9 points become two at 7.5; a circuit that fills two pages at full size keeps it."""
    assert [picture.type_size for picture in draw_circuit(circuit("14-forty-wires"))[0]] == [7.5, 7.5]
    assert [picture.type_size for picture in draw_circuit(circuit("06b-interlock-twelve"))[0]] == [9.0, 9.0]


def test_the_mark_of_a_cut_wire_is_explained_only_where_there_is_one():
    explained = [
        any("goes on at A on sheet 2" in text.text for text in read_marks(picture.svg).texts)
        for name in ("14-forty-wires", "06b-interlock-twelve")
        for picture in draw_circuit(circuit(name))[0]
    ]
    assert explained == [False, False, True, True]
