"""The vehicle notebook with every kind of fact."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from authorkit.facts.notebook import Notebook, notebook_of
from authorkit.facts.read_vehicle import read_vehicle
from authorkit.model.chapter import Acceptance
from authorkit.model.point import Point
from authorkit.model.trouble_code import TroubleCode
from authorkit.model.vehicle import HighVoltage, ListedCode, SeriesInfo, Term, Tool, Vehicle
from authorkit.model.wire_colour import Colour, WireColour
from authorkit.model.wiring import (
    CavityUse,
    Connector,
    Device,
    Feed,
    Ground,
    Network,
    Part,
    Shield,
    Splice,
    TwistedPair,
    Wire,
    Wiring,
)
from authorkit.problems import Place
from authorkit.units import Quantity

FILE = "chapters/vehicle.ipynb"
FULL = (Path(__file__).parent / "full_vehicle.yaml").read_text(encoding="utf-8")
TAN = Colour("TN", "tan", "#D2B48C")  # CSS Color Module Level 4, named colours: tan is #D2B48C


def notebook(*cells: str) -> Notebook:
    made, _ = notebook_of({"nbformat": 4, "cells": [{"cell_type": "code", "source": text} for text in cells]}, FILE)
    assert made is not None
    return made


def at(line: int, column: int, cell: int = 1) -> Place:
    return Place(FILE, cell, line, column)


def q(value: str, unit: str) -> Quantity:
    return Quantity(Decimal(value), unit)


WIRING = Wiring(
    parts=(
        Part(
            "M1",
            "Engine control module",
            "module",
            at(6, 3),
            location="Under the scuttle panel",
            in_charge_of=("fuel", "ignition"),
            side="left",
        ),
        Part("FB1", "Fuse box", "fuse box", at(14, 3)),
    ),
    connectors=(
        Connector(
            "M1-A",
            "M1",
            at(20, 3),
            (tuple(map(str, range(1, 17))), tuple(map(str, range(17, 33)))),
            view="terminal side",
            colour="GY",
            access=q("4", "min"),
            key="top",
            sealed=True,
            back_probe=False,
        ),
        Connector("B5", "", at(21, 3), (("1", "2"),), colour="TN"),
        Connector(
            "X12", "", at(22, 3), (("1", "2", "3", "4"), ("5", "6", "7", "8")), location="Bulkhead", series=("B",)
        ),
        Connector("FB1-C", "FB1", at(17, 18)),
    ),
    cavities=(
        CavityUse(Point("M1-A", "2"), "M1", "GND 1", at(11, 25)),
        CavityUse(Point("FB1-C", "1"), "FB1", "F4 OUT", at(17, 26)),
    ),
    wires=(
        Wire(
            "K1",
            WireColour(TAN),
            q("2.5", "mm²"),
            (Point("M1-A", "2"), Point("G1")),
            at(26, 18),
            q("0.4", "m"),
            chain=1,
            position=1,
        ),
    ),
    devices=(
        Device("module-ground", "M1", (Point("M1-A", "2"),), at(12, 14)),
        Device("fuse", "FB1", (Point("B+"), Point("FB1-C", "1")), at(18, 14), {"id": "F4", "rating": q("40", "A")}),
    ),
    splices=(Splice("S1", at(25, 11), "In the front harness"),),
    grounds=(Ground("G1", "Left strut tower", at(23, 11), "M8", q("9", "N·m")),),
    feeds=(
        Feed("B+", "Battery positive", at(24, 9)),
        Feed("HV+", "High voltage", at(24, 39), q("288", "V"), "high voltage on", "d.c."),
    ),
    networks=(Network("CAN1", "Powertrain bus", "two-wire bus", at(27, 12), ("M1", "M7"), "500 kbit/s"),),
    pairs=(TwistedPair(("D1", "D2"), at(28, 9), ("A",)),),
    shields=(Shield(("R1", "R2"), "", at(29, 11)),),
)

EXPECTED = Vehicle(
    name="Veldrun Parcel",
    description="hybrid delivery van",
    invented="This vehicle does not exist.",
    file=FILE,
    place=at(2, 1),
    series=(SeriesInfo("A", "Series A", at(3, 10), "Up to the second year"), SeriesInfo("B", "Series B", at(3, 60))),
    systems=("Engine management", "Hybrid drive"),
    wiring=WIRING,
    tools=(
        Tool("T1", "Digital multimeter", at(30, 9), "CAT III 1000 V", "With leads"),
        Tool("T2", "Torque wrench", at(30, 85)),
    ),
    terms=(
        Term("ECT", "Engine coolant temperature", at(31, 9)),
        Term("feed", "A supply", at(31, 42), ("hot wire",)),
    ),
    codes=(
        ListedCode(TroubleCode("P0100"), "Mass air flow circuit", "M1", at(36, 3)),
        ListedCode(TroubleCode("P0118", 0x17), "Engine coolant temperature", "M1", at(37, 3), ("B",)),
    ),
    high_voltage=(HighVoltage("SD1", q("5", "min"), "Vehicle maker (invented)", "T1", "0", at(34, 5), ("A",)),),
    battery=q("12.6", "V"),
    colours={"TN": "tan", "PE": "peach"},
    accept=(Acceptance("todo-left", "The notebook is a draft", at(38, 10)),),
)


def test_a_vehicle_with_every_kind_of_fact_is_this_model() -> None:
    vehicle, shared, problems = read_vehicle(notebook(FULL))
    assert problems == ()
    assert vehicle == EXPECTED
    assert shared.series == ("A", "B")
    assert dict(shared.colours) == {"TN": TAN, "PE": Colour("PE", "peach", "#FFDAB9")}


def test_cells_are_merged_and_places_name_their_cell() -> None:
    identity, rest = FULL.split("\n", 2)[1], "%%facts\nwires: [[M1-A.1, K1 TN 2.5 mm2, G1]]\n"
    vehicle, _, problems = read_vehicle(notebook("%%facts\n" + identity, "%%facts\ncolours: {TN: tan}", "1 + 1", rest))
    assert problems == ()
    assert vehicle is not None
    assert vehicle.wiring.wires[0].place == at(2, 18, cell=4)
    assert vehicle.wiring.wires[0].colour == WireColour(TAN)
    assert vehicle.places["wires.1.2"] == at(2, 18, cell=4)


def test_what_is_missing_leaves_the_rest() -> None:
    vehicle, _, problems = read_vehicle(notebook("%%facts\nsystems: Brakes\nmodules: {M1: {side: left}}\n"))
    assert [problem.rule for problem in problems] == ["key-missing", "key-missing"]
    assert vehicle is not None
    assert (vehicle.name, vehicle.systems) == ("", ("Brakes",))
    assert [(part.id, part.name, part.kind) for part in vehicle.wiring.parts] == [("M1", "", "module")]


@pytest.mark.parametrize(
    ("written", "systems", "modules"),
    [
        ("[Cooling, Brakes]", ("Cooling", "Brakes"), {}),
        ("Cooling", ("Cooling",), {}),
        (
            "{Cooling: {modules: [M1, M8]}, Brakes: {}, Body: {modules: M3}}",
            ("Cooling", "Brakes", "Body"),
            {"Cooling": ("M1", "M8"), "Body": ("M3",)},
        ),
    ],
)
def test_systems_are_a_list_or_have_their_modules(written, systems, modules) -> None:
    identity = FULL.split("\n", 2)[1]
    vehicle, _, problems = read_vehicle(notebook(f"%%facts\n{identity}\nsystems: {written}\n"))
    assert problems == ()
    assert vehicle is not None
    assert (vehicle.systems, vehicle.system_modules) == (systems, modules)


@pytest.mark.parametrize(
    ("written", "rule"), [("{Cooling: {module: [M1]}}", "key-unknown"), ("{Cooling: [M1]}", "value-malformed")]
)
def test_a_system_that_cannot_be_read_is_told_and_the_others_stay(written, rule) -> None:
    identity = FULL.split("\n", 2)[1]
    text = f"%%facts\n{identity}\nsystems: {written[:-1]}, Brakes: {{modules: M2}}}}\n"
    vehicle, _, problems = read_vehicle(notebook(text))
    assert [problem.rule for problem in problems] == [rule]
    assert vehicle is not None
    assert vehicle.systems[-1] == "Brakes"
    assert vehicle.system_modules == {"Brakes": ("M2",)}
