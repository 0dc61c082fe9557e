"""Where blocks and links stand."""

from __future__ import annotations

from collections import Counter

import pytest

from authorkit.drawing.block_layers import MOST_COLUMNS, columns_of, lay_out_blocks
from authorkit.drawing.block_plan import Block, BlockPlan, Link
from authorkit.drawing.block_shapes import block_height, fits_block
from tests.drawing.test_blocks import generated, plan_of


def test_a_column_is_the_distance_from_the_roots():
    assert columns_of(plan_of("M1-B1 K;B1-B2 K;M1-B3 K;B2-B4 K")) == [["M1"], ["B1", "B3"], ["B2"], ["B4"]]


def test_what_lies_further_than_the_last_column_stands_in_it():
    chain = plan_of("M1-B1 K;B1-B2 K;B2-B3 K;B3-B4 K;B4-B5 K")
    columns = columns_of(chain)
    assert len(columns) == MOST_COLUMNS
    assert columns[-1] == ["B3", "B4", "B5"]


def test_what_nothing_leads_to_stands_at_the_left():
    plan = BlockPlan((Block("M1", ""), Block("B1", ""), Block("B2", "")), (Link(("B1", "B2"), ("K",)),), roots=("M1",))
    assert columns_of(plan) == [["M1", "B1"], ["B2"]]


@pytest.mark.parametrize("seed", range(8))
def test_every_end_in_a_channel_has_a_row_of_its_own_inside_its_block(seed):
    plan = generated(seed)
    layers = lay_out_blocks(plan, columns_of(plan), {block.id: 2 for block in plan.blocks})
    assert sum(len(tracks) for tracks in layers.channels) == len(plan.links)
    for tracks in layers.channels:
        ends = Counter(row for track in tracks for row in set(track.rows))
        assert set(ends.values()) <= {1}
        lanes = [(track.bow, track.lane) for track in tracks if track.lane is not None]
        assert len(lanes) == len(set(lanes))


def test_a_block_grows_for_its_links():
    plan = plan_of(";".join(f"B{n}-M1 K{n}" for n in range(9)))
    layers = lay_out_blocks(plan, columns_of(plan), {block.id: 2 for block in plan.blocks})
    assert layers.size["M1"] >= 9


def test_a_block_is_wide_enough_for_its_longest_word_and_breaks_only_at_a_hyphen():
    block = Block("HVB1", "High-voltage battery")
    assert fits_block(block, 24.0)
    assert not fits_block(Block("B1", "Highvoltagebattery"), 24.0)
    assert block_height(block, 24.0) > block_height(block, 60.0)
