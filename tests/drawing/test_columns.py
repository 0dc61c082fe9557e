from __future__ import annotations

from itertools import pairwise

import pytest

from authorkit.drawing.columns import arrange
from authorkit.drawing.netlist import read_netlist
from authorkit.model.point import Point
from tests.drawing.generated import generated
from tests.drawing.written import circuit, names, wiring_of


def arranged(name):
    return arrange(read_netlist(circuit(name)))


def test_modules_and_fuse_boxes_stand_left_components_right_relays_between():
    assert arranged("04-fan-relay").sides == {"M1": "left", "FB1": "left", "K5": "mid", "A1": "right", "A2": "right"}


def test_a_module_that_everything_else_feeds_goes_to_the_right():
    sides = arranged("08-main-relay").sides
    assert (sides["FB2"], sides["K1"], sides["M1"]) == ("left", "mid", "right")


def test_of_two_modules_on_one_bus_one_goes_to_the_right():
    sides = arranged("03-bus").sides
    assert {sides["M1"], sides["M7"]} == {"left", "right"}


def test_a_relay_faces_its_supply_on_the_left_and_its_load_on_the_right():
    faces = {str(point): face for point, face in arranged("04-fan-relay").faces.items()}
    assert faces == {"K5.85": "left", "K5.86": "left", "K5.30": "left", "K5.87": "right"}


def test_a_relay_with_everything_on_one_side_is_no_part_of_the_middle():
    assert arranged("19-one-sided-relay").sides["K9"] == "right"


def test_in_line_connectors_follow_each_other_in_columns():
    columns = arranged("11-four-in-line")
    place = {cavity.owner: column for cavity, column in columns.cavities.items()}
    assert (place["X1"], place["X5"], place["X9"], place["X14"], columns.last) == (1, 2, 3, 4, 5)


def test_all_cavities_of_one_connector_stand_in_one_column():
    columns = arranged("05-motor")
    assert len({column for cavity, column in columns.cavities.items() if cavity.owner == "X40"}) == 1


def test_a_connector_passed_twice_by_one_circuit_is_shown_in_two_columns():
    text = """
parts:
  M1: {name: Module, kind: module, connectors: {M1: {"1": A}}}
  B1: {name: Sensor, connectors: {B1: {"1": SIG}}}
  B2: {name: Sensor, connectors: {B2: {"1": SIG}}}
in-line: [X1]
splices: [S1]
wires:
  - [M1.1, W1 RD 0.5 mm2, X1.1, W1 RD 0.5 mm2, S1]
  - [S1, W1 RD 0.5 mm2, X1.2, W1 RD 0.5 mm2, B1.1]
  - [S1, W1 RD 0.5 mm2, B2.1]
"""
    columns = arrange(read_netlist(wiring_of(text)))
    assert columns.cavities[Point("X1", "1")] == 1
    assert columns.cavities[Point("X1", "2")] == 2


def test_a_splice_lies_nearest_to_where_most_of_its_branches_lead():
    columns = arranged("07-shared-supply")
    assert columns.channels["S10"] == columns.last - 1


@pytest.mark.parametrize("wiring", [*names(), *range(12)], ids=str)
def test_every_run_goes_from_left_to_right(wiring):
    columns = arrange(read_netlist(circuit(wiring) if isinstance(wiring, str) else wiring_of(generated(wiring))))
    for run in columns.runs:
        first, second = run.ends
        if first.way == "r" and second.way == "l":
            stations = [columns.cavities[cavity] for cavity in run.chain.cavities]
            assert all(a < b for a, b in pairwise([first.column, *stations, second.column]))
        if first.way == "r" and second.way == "s":
            assert first.column <= second.column
        if first.way == "s" and second.way == "l":
            assert first.column < second.column
