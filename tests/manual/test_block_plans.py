"""The block drawings of the demo vehicle, from its facts."""

from __future__ import annotations

import pytest

from authorkit.manual.block_plans import bus_plan, high_voltage_plan, system_plan, whole_of
from authorkit.manual.scope import share


@pytest.fixture(scope="module")
def wholes(demo_book):
    shared = share(demo_book)
    return {series: whole_of(shared, series) for series in demo_book.vehicle.series_ids}


def _system(whole, name):
    chapters = [chapter for chapter in whole.shared.book.chapters if chapter.system == name]
    return system_plan(whole, chapters)


def test_every_bus_has_its_modules_with_what_they_are_in_charge_of(wholes):
    plan = bus_plan(wholes["A"])
    assert {rail.id: rail.members for rail in plan.rails} == {
        "CAN1": ("M1", "M4", "M5", "M6"),
        "CAN2": ("M2", "M3", "M4", "M7"),
    }
    gateway = next(block for block in plan.blocks if block.id == "M4")
    assert gateway.lines == ("routing between the buses, diagnostic connector",)


def test_the_high_voltage_path_starts_at_the_battery_with_its_voltage(wholes):
    for series, volts in (("A", "288"), ("B", "352")):
        plan = high_voltage_plan(wholes[series])
        assert plan.roots == ("HVB1",)
        assert next(block.lines for block in plan.blocks if block.id == "HVB1") == (f"{volts}\u202fV d.c.",)
        assert all(link.strong for link in plan.links)
        assert ("HVB1", "J1") in {link.ends for link in plan.links}
        assert {"M5", "M7", "MG1", "SD1"} <= {block.id for block in plan.blocks}


def test_a_part_of_one_series_is_in_its_plan_only(wholes):
    names = {series: {block.id for block in _system(wholes[series], "Cooling").blocks} for series in "AB"}
    assert names["A"] ^ names["B"] == {"RL1", "M8"}


def test_supplies_and_grounds_are_lines_and_no_blocks(wholes):
    plan = _system(wholes["B"], "Cooling")
    fan_module = next(block for block in plan.blocks if block.id == "M8")
    assert fan_module.lines[-2:] == ("Fed by F6\u00a050\u202fA", "Ground G3")
    assert not {"FB1", "G3"} & {block.id for block in plan.blocks}


def test_high_voltage_and_signal_wires_between_two_parts_are_apart(wholes):
    links = {link.key: link.circuits for link in _system(wholes["A"], "Hybrid drive").links}
    assert links["M5", "MG1", "high voltage"] == ("H531", "H532", "H533")
    assert set(links["M5", "MG1"]) == {f"Q40{n}" for n in range(1, 8)}


def test_a_bus_is_no_wire_from_module_to_module(wholes):
    plan = _system(wholes["A"], "Networks")
    assert plan.links == ()
    assert {rail.id for rail in plan.rails} == {"CAN1", "CAN2"}


def test_a_module_that_only_the_author_gives_to_a_system_is_drawn(wholes):
    whole = wholes["B"]
    chapters = [chapter for chapter in whole.shared.book.chapters if chapter.system == "Cooling"]
    names = {block.id for block in system_plan(whole, chapters, ("M7",)).blocks}
    assert "M7" in names
    assert system_plan(whole, (), ("M7", "M4")).roots == ("M4", "M7")
    assert system_plan(wholes["A"], (), ("M8",)).blocks == ()  # Series A has no M8
