"""The layout of a circuit, and the room that it makes for others."""

from __future__ import annotations

import pytest

from authorkit.drawing.guide import Guide
from authorkit.drawing.layout import arranged, place
from authorkit.drawing.netlist import read_netlist
from authorkit.drawing.paint import Emphasis
from tests.drawing.written import circuit


def heights(layout) -> dict[str, float]:
    placed = layout.placed
    return {
        str(key[0]): placed.heights.slots[slot.number]
        for slot in placed.board.slots
        for key in (slot.left, slot.right)
        if key
    }


@pytest.fixture(scope="module")
def pedal():
    return arranged(read_netlist(circuit("02-pedal")))


def test_a_guide_moves_rows_down_and_never_up(pedal):
    alone = place(pedal, Emphasis())
    lowest = max(alone.placed.board.slots, key=lambda slot: alone.placed.heights.slots[slot.number])
    key = lowest.left or lowest.right
    moved = heights(place(pedal, Emphasis(), Guide({key: 200.0})))
    assert moved[str(key[0])] == pytest.approx(200.0)
    assert all(moved[name] >= height - 1e-9 for name, height in heights(alone).items())
    assert heights(place(pedal, Emphasis(), Guide({key: 0.0}))) == heights(alone)


def test_a_guide_puts_the_right_parts_where_another_drawing_has_them(pedal):
    alone = place(pedal, Emphasis()).placed
    last = alone.board.columns.last - 1
    wanted = alone.edges.ends[last] + 25.0
    moved = place(pedal, Emphasis(), Guide(right=wanted, last=-1)).placed
    assert moved.edges.ends[last] == pytest.approx(wanted)


def test_an_order_that_is_wanted_is_kept_where_it_costs_nothing():
    netlist = read_netlist(circuit("13-lamps"))
    first = arranged(netlist)
    ranks: dict = {}
    for column in first.order.columns:
        for _, slots in column:
            for slot in slots:
                for point in first.board.slots[slot].points:
                    ranks.setdefault(point, len(ranks))
    again = arranged(netlist, ranks)
    assert again.order == first.order
