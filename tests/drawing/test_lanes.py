from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from authorkit.drawing.columns import arrange
from authorkit.drawing.heights import find_heights
from authorkit.drawing.inside import plan_inside
from authorkit.drawing.lanes import Vertical, _ordered, _positions, find_lanes
from authorkit.drawing.measures import PITCH
from authorkit.drawing.middle import plan_middle
from authorkit.drawing.netlist import read_netlist
from authorkit.drawing.order import find_order
from authorkit.drawing.route_marks import splice_mark
from authorkit.drawing.strands import cut
from authorkit.drawing.taste import taste_of
from tests.drawing.generated import generated
from tests.drawing.written import wiring_of


def vertical(name, left, right):
    return Vertical(0, 0, name, -1, tuple(left), tuple(right))


def test_the_order_of_lanes_has_no_crossing_where_none_is_needed():
    """Two splices side by side, fed from the left at 10 and 20: the upper one must stand further right."""
    upper = vertical("S1", [10.0], [10.0, 0.0])
    lower = vertical("S2", [20.0], [20.0, 30.0])
    for order in ([upper, lower], [lower, upper]):
        assert len(_ordered(order, {})) == 2
    nested = [vertical("A", [10.0, 40.0], []), vertical("B", [20.0, 30.0], [])]
    assert [each.name for each in _ordered(nested, {})] == ["B", "A"]
    assert [each.name for each in _ordered(nested[::-1], {})] == ["B", "A"]


def test_wires_never_share_a_lane_where_they_would_touch():
    wires = [vertical("", [0.0], [30.0]), vertical("", [30.0], [60.0]), vertical("", [90.0], [100.0])]
    x = _positions(wires, {})
    assert x[0] != x[1]  # one ends where the other begins
    assert x[2] == x[0]  # far apart: the lane is free again


def test_splices_joined_by_a_wire_stand_apart_by_its_label():
    pair = [vertical("S1", [0.0], [10.0]), vertical("S2", [10.0], [20.0])]
    assert _positions(pair, {("S1", "S2"): 25.0}) == [0.0, 25.0]


@pytest.mark.parametrize(
    ("left", "right", "dots"),
    [
        ([10.0], [10.0, 20.0], (10.0,)),  # straight on and down
        ([10.0], [0.0, 10.0, 20.0], (10.0,)),  # up, straight on and down
        ([10.0], [20.0], (10.0,)),  # round a corner
        ([10.0, 30.0], [20.0], (20.0,)),  # from above and below
    ],
)
def test_a_splice_with_one_branch_each_way_is_a_dot(left, right, dots):
    mark = splice_mark(vertical("S1", left, right), 5.0)
    assert (mark.dots, mark.bar) == (dots, None)


@pytest.mark.parametrize(("left", "right"), [([0.0], [0.0, 10.0, 20.0]), ([10.0], [10.0, 20.0, 30.0, 0.0])])
def test_a_splice_with_two_branches_one_way_is_a_bar_with_a_dot_for_each(left, right):
    mark = splice_mark(vertical("S1", left, right), 5.0)
    heights = sorted({*left, *right})
    assert mark.dots == tuple(heights)
    assert mark.bar == (heights[0], heights[-1])


def laid_out(seed):
    netlist = read_netlist(wiring_of(generated(seed)))
    columns = arrange(netlist)
    board = cut(netlist, columns)
    order = find_order(board, taste_of(board))
    insides = {}
    for blocks in order.columns:
        for block, numbers in blocks:
            if block.unit is None:
                continue
            slots = [board.slots[number] for number in numbers]
            if columns.sides[block.unit.id] == "mid":
                insides[block.unit.id] = plan_middle(block.unit, slots, netlist, columns.faces)
            else:
                rows = tuple(dict.fromkeys(point for slot in slots for point in slot.points))
                insides[block.unit.id] = plan_inside(block.unit, rows, netlist)
    return board, order, find_heights(board, order, insides, {})


@pytest.mark.parametrize("seed", range(12))
def test_rows_of_a_part_keep_their_order_and_their_distance(seed):
    _, order, heights = laid_out(seed)
    for blocks in order.columns:
        for _, slots in blocks:
            for upper, lower in pairwise(slots):
                assert heights.slots[lower] - heights.slots[upper] >= PITCH - 1e-9


@pytest.mark.parametrize("seed", range(12))
def test_a_straight_wire_has_one_height(seed):
    _, order, heights = laid_out(seed)
    for rows in order.rows:
        for row in rows:
            if row.left is not None and row.right is not None:
                assert heights.slots[row.left] == heights.slots[row.right]


@pytest.mark.parametrize("seed", range(12))
def test_verticals_that_meet_have_lanes_of_their_own(seed):
    board, order, heights = laid_out(seed)
    lanes = find_lanes(board, order, heights, {})
    for placed in lanes.placed.values():
        for (first, a), (second, b) in combinations(placed, 2):
            if first.low < second.high and second.low < first.high:
                assert abs(a - b) > 3.0
