from __future__ import annotations

import random
from itertools import pairwise

import pytest

from authorkit.drawing.columns import arrange
from authorkit.drawing.judge import _heaviest
from authorkit.drawing.netlist import read_netlist
from authorkit.drawing.order import find_order
from authorkit.drawing.strands import cut
from authorkit.drawing.taste import taste_of
from tests.drawing.generated import generated
from tests.drawing.written import circuit, wiring_of


def ordered(wiring):
    netlist = read_netlist(wiring)
    board = cut(netlist, arrange(netlist))
    return board, find_order(board, taste_of(board))


def pins(board, order, unit):
    for blocks in order.columns:
        for block, slots in blocks:
            if block.unit is not None and block.unit.id == unit:
                return [str(point) for slot in slots for point in board.slots[slot].points]
    raise AssertionError(unit)


def test_a_wiper_stands_between_the_ends_of_its_track():
    board, order = ordered(circuit("02-pedal"))
    rows = pins(board, order, "B7")
    for track in (["B7.5", "B7.2", "B7.4"], ["B7.6", "B7.1", "B7.3"]):
        at = [rows.index(pin) for pin in track]
        assert at in ([at[0], at[0] + 1, at[0] + 2], [at[0], at[0] - 1, at[0] - 2])


def test_a_twisted_pair_stays_side_by_side():
    board, order = ordered(circuit("03-bus"))
    for unit, pair in (("M1", ["M1-A.1", "M1-A.2"]), ("M7", ["M7-A.14", "M7-A.13"])):
        rows = pins(board, order, unit)
        assert abs(rows.index(pair[0]) - rows.index(pair[1])) == 1


@pytest.mark.parametrize("seed", range(10))
def test_every_slot_is_placed_once_and_stays_with_its_part(seed):
    board, order = ordered(wiring_of(generated(seed)))
    for column, blocks in enumerate(order.columns):
        assert {id(block) for block, _ in blocks} == {id(block) for block in board.blocks[column]}
        for block, slots in blocks:
            assert sorted(slots) == sorted(slot.number for slot in block.slots)


@pytest.mark.parametrize("seed", range(10))
def test_rows_keep_the_order_of_both_columns(seed):
    """No row lies above another on one side and below it on the other: no part can be cut by a foreign wire."""
    board, order = ordered(wiring_of(generated(seed)))
    for span, rows in zip(board.spans, order.rows, strict=True):
        for column, side in ((span.first, "left"), (span.first + 1, "right")):
            wanted = [slot for _, slots in order.columns[column] for slot in slots]
            found = [getattr(row, side) for row in rows if getattr(row, side) is not None]
            assert found == [slot for slot in wanted if slot in found]


def test_a_shuffled_straight_circuit_is_put_straight():
    """Twenty wires between one module and one plug, shuffled at both ends, need no crossing and no step."""
    dice = random.Random(5)
    left, right = list(range(1, 21)), list(range(1, 21))
    dice.shuffle(left)
    dice.shuffle(right)
    plugs = [", ".join(f'"{number}": S{number}' for number in numbers) for numbers in (left, right)]
    wires = "\n".join(f"  - [M1.{a}, W{a} RD 0.5 mm2, B1.{b}]" for a, b in zip(left, right, strict=True))
    text = f"""
parts:
  M1: {{name: Module, kind: module, connectors: {{M1: {{{plugs[0]}}}}}}}
  B1: {{name: Motor, connectors: {{B1: {{{plugs[1]}}}}}}}
wires:
{wires}
"""
    _, order = ordered(wiring_of(text))
    assert all(row.left is not None and row.right is not None for row in order.rows[0])


@pytest.mark.parametrize("seed", range(20))
def test_the_heaviest_set_of_pairs_is_found(seed):
    """Against trying all sets."""
    dice = random.Random(seed)
    pairs = sorted({(dice.randrange(5), dice.randrange(5), float(dice.choice([1, 3]))) for _ in range(9)})
    best = 0.0
    for chosen in range(1 << len(pairs)):
        picked = [pair for number, pair in enumerate(pairs) if chosen >> number & 1]
        if all(a[0] < b[0] and a[1] < b[1] for a, b in pairwise(picked)):
            best = max(best, sum(weight for *_, weight in picked))
    weights = {}
    for a, b, weight in pairs:
        weights[a, b] = max(weight, weights.get((a, b), 0.0))
    found = _heaviest(pairs)
    assert sum(weights[pair] for pair in found) == best
