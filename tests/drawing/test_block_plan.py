"""What block drawings of several series have in common and what not."""

from __future__ import annotations

import pytest

from authorkit.drawing.block_plan import Block, BlockPlan, Link, Rail, union_of, variants_of


@pytest.mark.parametrize(
    ("circuits", "label"),
    [
        (("K1",), "K1"),
        (("K1", "K2"), "K1, K2"),
        (("H531", "H532", "H533"), "H531 to H533"),
        (("Q401", "Q402", "Q404"), "Q401 + 2 more"),
        (("V9", "V10", "V11"), "V9 + 2 more"),  # another length: '9 to 11' is easily misread
        (("V200", "Z140", "K160"), "V200 + 2 more"),
    ],
)
def test_a_link_names_its_circuits_as_short_as_it_can(circuits, label):
    assert Link(("B5", "M1"), circuits).label == label


def test_a_changed_speed_of_a_bus_is_a_difference():
    blocks = (Block("M1", "Module"),)
    plans = {
        series: BlockPlan(blocks, rails=(Rail("CAN1", speed, ("M1",)), Rail("CAN2", "same", ("M1",))))
        for series, speed in (("A", "250 kbit/s"), ("B", "500 kbit/s"))
    }
    assert [variant.changed for variant in variants_of(plans)] == [frozenset({"CAN1"}), frozenset({"CAN1"})]


def test_the_union_has_room_for_the_longest_of_each():
    plans = {
        "A": BlockPlan((Block("M1", "Module", ("a long line of words", "b")),), (Link(("B5", "M1"), ("K1",)),)),
        "B": BlockPlan((Block("M1", "Module", ("short",)),), (Link(("B5", "M1"), ("K1", "K2")),)),
    }
    union = union_of(variants_of(plans))
    assert union.blocks[0].lines == ("a long line of words", "b")
    assert union.links[0].label == "K1, K2"


def test_high_voltage_and_other_wires_between_two_blocks_are_two_links():
    weak, strong = Link(("B5", "M1"), ("K1",)), Link(("B5", "M1"), ("H1",), strong=True)
    union = union_of(variants_of({"A": BlockPlan((), (weak, strong))}))
    assert len(union.links) == 2
