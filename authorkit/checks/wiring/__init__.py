"""Rules about the wiring: the whole book is one harness, and its chapters must agree on it."""

from __future__ import annotations

from authorkit.checks.rule import RuleModule
from authorkit.checks.wiring import (
    cavity_not_in_connector,
    cavity_two_signals,
    cavity_two_wires,
    cavity_without_signal,
    cavity_without_wire,
    connector_two_layouts,
    connector_without_layout,
    device_contradicts,
    feed_without_fuse,
    fuse_too_large,
    ground_not_reached,
    ground_two_locations,
    in_line_colour_change,
    in_line_one_side,
    part_without_wire,
    splice_one_leg,
    wire_both_ends_same,
    wire_ends_nowhere,
    wire_far_end_differs,
    wire_length_differs,
    wire_two_colours,
    wire_two_sizes,
)

RULE_MODULES: tuple[RuleModule, ...] = (
    cavity_not_in_connector,
    cavity_two_signals,
    cavity_two_wires,
    cavity_without_signal,
    cavity_without_wire,
    connector_two_layouts,
    connector_without_layout,
    wire_two_colours,
    wire_two_sizes,
    wire_far_end_differs,
    wire_ends_nowhere,
    wire_both_ends_same,
    wire_length_differs,
    in_line_colour_change,
    in_line_one_side,
    splice_one_leg,
    ground_not_reached,
    ground_two_locations,
    feed_without_fuse,
    fuse_too_large,
    part_without_wire,
    device_contradicts,
)
