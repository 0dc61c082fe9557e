"""A chapter with every kind of fact, and what becomes of facts that are missing or wrong."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from authorkit.facts.notebook import Notebook
from authorkit.facts.read_chapter import read_chapter
from authorkit.facts.read_vehicle import Shared
from authorkit.model.caution import Caution
from authorkit.model.chapter import Acceptance, Chapter, CircuitPath, FigureFile, Prose, Revision
from authorkit.model.point import Point
from authorkit.model.procedure import BeforeStart, Branch, Step
from authorkit.model.procedure import Test as StepTest
from authorkit.model.specification import SetCondition, Spec, State, Suspect, Waveform
from authorkit.model.trouble_code import TroubleCode
from authorkit.model.wire_colour import COLOURS, WireColour
from authorkit.model.wiring import (
    CavityUse,
    Connector,
    Device,
    Ground,
    Part,
    Shield,
    Splice,
    TwistedPair,
    Wire,
    Wiring,
)
from authorkit.problems import Place
from authorkit.units import Bound, Quantity, Tolerance, Window

FILE = "chapters/P0118.ipynb"
FULL = (Path(__file__).parent / "full_chapter.yaml").read_text(encoding="utf-8")
Make = Callable[..., Notebook]


def at(line: int, column: int, cell: int = 1) -> Place:
    return Place(FILE, cell, line, column)


def q(value: str, unit: str, tolerance: Tolerance | None = None) -> Quantity:
    return Quantity(Decimal(value), unit, tolerance)


def bound(value: str, unit: str) -> Bound:
    return Bound(None, q(value, unit))


def pt(owner: str, cavity: str = "") -> Point:
    return Point(owner, cavity)


A, B = ("A",), ("B",)
COLD = State(
    "cold",
    at(44, 3),
    key="on",
    settings=(("B5", "20 °C"), ("M1.FAN", "on")),
    battery=q("12.2", "V"),
)
BU_WH = WireColour(COLOURS["BU"], COLOURS["WH"])
BN = WireColour(COLOURS["BN"])

WIRING = Wiring(
    parts=(
        Part(
            "B5",
            "Coolant temperature sensor",
            "component",
            at(20, 5),
            location="Left side of the cylinder head",
            hazards=("hot coolant",),
            series=A,
        ),
    ),
    connectors=(
        Connector(
            "X12",
            "",
            at(39, 16),
            rows=(("1", "2", "3", ""), ("A1", "A2", "A3", "9")),
            shape="round",
            colour_change=("K131",),
            series=A,
        ),
        Connector("B5", "B5", at(24, 20), series=A),
        Connector("M1-A", "M1", at(29, 9), series=A),
    ),
    cavities=(
        CavityUse(pt("B5", "01"), "B5", "SIG", at(24, 25), A),
        CavityUse(pt("B5", "2"), "B5", "GND", at(24, 36), A),
        CavityUse(pt("M1-A", "23"), "M1", "ECT SIG", at(29, 16), A),
        CavityUse(pt("M1-A", "41"), "M1", "SNSR RTN", at(29, 31), B),
    ),
    wires=(
        Wire(
            "K131",
            BU_WH,
            q("0.5", "mm²"),
            (pt("M1-A", "23"), pt("X12", "4")),
            at(35, 17),
            length=q("1.8", "m"),
            series=A,
            chain=1,
            position=1,
        ),
        Wire("K131", BU_WH, q("20", "AWG"), (pt("X12", "4"), pt("B5", "01")), at(35, 50), None, A, 1, 2),
        Wire("K200", BN, q("0.5", "mm²"), (pt("M1-A", "41"), pt("B5", "2")), at(36, 24), None, B, 2, 1),
    ),
    devices=(
        Device(
            "thermistor",
            "B5",
            (pt("B5", "01"), pt("B5", "2")),
            at(26, 11),
            {"table": ((q("20", "°C"), q("2.5", "kΩ")), (q("90", "°C"), q("250", "Ω")))},
            series=A,
        ),
        Device(
            "pull-up",
            "M1",
            (pt("M1-A", "23"),),
            at(31, 11),
            {"to": q("5", "V"), "r": q("2.49", "kΩ", Tolerance(relative=Decimal(1)))},
            series=A,
        ),
        Device("clamp", "M1", (pt("M1-A", "23"),), at(32, 11), {"to": pt("B+")}, series=B),
        Device("read", "M1", (pt("M1-A", "23"),), at(33, 11), {"as": "ECT"}, series=A),
    ),
    splices=(Splice("S10", at(37, 13), "In the engine harness near X12", A),),
    grounds=(Ground("G1", "Left strut tower", at(38, 13), "M8", q("9", "N·m"), q("2", "min"), A),),
    pairs=(TwistedPair(("D1", "D2"), at(40, 11), A),),
    shields=(Shield(("R1", "R2"), "R9", at(41, 13), A),),
)

EXPECTED = Chapter(
    code=TroubleCode("P0118", 0x17),
    title="Engine coolant temperature sensor 1 circuit high",
    set_by="M1",
    system="Engine management",
    file=FILE,
    place=at(2, 1),
    series=A,
    lamp="Malfunction indicator on at the second trip",
    fail_safe="The module assumes 80 °C and runs the fan at full speed",
    meaning_source="Vehicle maker",
    revision=Revision("1.10", "2026-10-05", "Demo author", "table-top"),
    sets_when=(
        SetCondition(
            at(13, 5),
            "M1.ECT",
            Window(bound("4.85", "V"), None, low_inclusive=False),
            q("2", "s"),
            State("", at(13, 50), key="on"),
            "2",
        ),
        SetCondition(at(14, 5), "M1.ECT", Window(None, bound("0.5", "V"), high_inclusive=False)),
        SetCondition(at(14, 5), "M1.ECT", Window(bound("4.5", "V"), None, low_inclusive=False)),
        SetCondition(at(15, 5), "M1.ECT", Window(None, bound("0.1", "V")), during=COLD),
        SetCondition(at(16, 5), text="No message from M7 while the bus is awake", source="Vehicle maker", series=B),
    ),
    wiring=WIRING,
    states=(
        COLD,
        State(
            "bridged",
            at(45, 3),
            key="off",
            unplugged=("B5",),
            pulled=("F4", "F5"),
            jumpers=((pt("B5", "01"), pt("B5", "2")),),
            disconnect="open",
        ),
    ),
    specs=(
        Spec(
            "volts",
            pt("M1-A", "23"),
            pt("G1"),
            COLD,
            Window(bound("2.4", "V"), bound("2.6", "V")),
            at(48, 5),
            name="signal-cold",
        ),
        Spec(
            "amps",
            pt("FB1-C", "1"),
            None,
            State("", at(49, 21), key="run"),
            Window(bound("11", "A"), bound("13", "A"), stated=q("12", "A", Tolerance(absolute=q("1", "A")))),
            at(49, 5),
            source="shop rule",
        ),
    ),
    waveforms=(
        Waveform(
            "speed-signal",
            pt("M7-A", "5"),
            pt("M7-A", "6"),
            at(52, 5),
            COLD,
            "square",
            (("low", q("0.2", "V")), ("edge", "steep")),
            "speed-120hz.csv",
            limits=(("frequency", Window(bound("110", "Hz"), bound("130", "Hz"))),),
        ),
    ),
    suspects=(Suspect("open K131 at X12", at(62, 5), "often", "X12 sits in the splash zone"),),
    before_start=BeforeStart(("Battery above 12.2 V",), ("T1",), ("none",), "Technician", "20 min"),
    cautions=(Caution("CAUTION", "Hot coolant.", "It scalds.", ("Wait.", "Wear gloves."), at(67, 5), ("2",)),),
    steps=(
        Step(
            "1",
            "Switch the key off. Unplug B5. Switch the key on.",
            at(70, 3),
            State("", at(72, 5), key="on", unplugged=("B5",)),
            StepTest("volts", (pt("B5", "01"), pt("G1"))),
            "What does the voltmeter read?",
            (
                Branch("4.9 to 5.1 V", "2", at(75, 12), Window(bound("4.9", "V"), bound("5.1", "V"))),
                Branch("below 0.3 V", "8", at(75, 29), Window(None, bound("0.3", "V"), high_inclusive=False)),
                Branch("else", "9", at(75, 45)),
            ),
        ),
        Step(
            "2",
            "Look at the pins of B5.",
            at(76, 3),
            test=StepTest("look", subject="pins of B5"),
            branches=(Branch("clean", "8", at(76, 61)), Branch("no", "9", at(76, 71))),
            tools=("T2",),
        ),
        Step("8", "", at(77, 3), verdict=("B5",), repair="Replace the sensor."),
        Step("9", "", at(78, 3), verdict=("K131", "K200"), either=True, series=B),
    ),
    after_repair=("Clear the code.", "Drive for 10 minutes."),
    related=("P0117",),
    figures=(FigureFile("sensor-photo", "sensor.png", "The sensor", "A sensor with two pins", at(83, 5)),),
    paths=(CircuitPath("signal-path", ("K131", "K200"), "The signal", at(87, 5), B),),
    prose=(
        Prose("meaning", "The sensor is open.", at(3, 1, cell=2)),
        Prose("circuit", "A thermistor.\n\n### Detail\nMore.", at(6, 1, cell=2)),
        Prose("circuit", "Still the circuit.", at(1, 1, cell=3)),
    ),
    accept=(Acceptance("cavity-without-wire", "The cavity is for an option", at(85, 5), "M1-A.7"),),
)

PROSE = (
    "# P0118 Engine coolant\n\nThe sensor is open.\n\n## How the circuit works\nA thermistor.\n\n### Detail\nMore.\n",
    "Still the circuit.",
)


def test_a_chapter_with_every_kind_of_fact_is_this_model(chapter_notebook: Make) -> None:
    chapter, problems = read_chapter(chapter_notebook(FULL, *PROSE))
    assert problems == ()
    assert chapter == EXPECTED


def test_places_lead_to_single_facts_and_to_their_nearest_parent(chapter_notebook: Make) -> None:
    chapter, _ = read_chapter(chapter_notebook(FULL))
    assert chapter is not None
    assert chapter.place_of("title") == at(3, 8)
    assert chapter.place_of("after-repair") == at(80, 1)
    assert chapter.place_of("after-repair.2") == at(80, 33)
    assert chapter.place_of("procedure.1.do") == at(71, 9)
    assert chapter.place_of("cautions.1.avoid.2") == at(67, 83)
    assert chapter.place_of("procedure.1.not-there") == at(70, 3)
    assert chapter.place_of("nothing") == chapter.place


def test_words_that_yaml_changes_stay_as_typed(chapter_notebook: Make, chapter_head: str) -> None:
    """YAML 1.1 reads these as true, false, 1000, 1 (octal), 750 (base sixty), 1.1 and null; here all are texts."""
    words = ["on", "NO", "1e3", "01", "12:30", "1.10", "0x1F", "2026-10-05", "yes", "=", "off", "1_000"]
    facts = chapter_head + "after-repair:\n" + "".join(f"- {word}\n" for word in words)
    chapter, problems = read_chapter(chapter_notebook(facts))
    assert problems == ()
    assert chapter is not None
    assert list(chapter.after_repair) == words


def test_wrong_facts_leave_the_others_alone(chapter_notebook: Make) -> None:
    facts = """%%facts
code: P0118
title: [no text]
system: Engine management
states: {cold: {key: on, battery: high}}
specs:
  - {volts: [M1-A.23, G1], state: cold, reads: 2.4 to 2.6 V}
  - {volts: [M1-A.23, G1], state: cold, reads: high}
circuit:
  wires:
    - [M1-A.23, K131 BU 0.5 mm2, X12.4, K131 blue 0.5 mm2, B5.1]
procedure:
  1: {do: Measure., volts: [M1-A.23], then: {yes: 2, 3 Vv: 4}}
"""
    chapter, problems = read_chapter(chapter_notebook(facts))
    assert {problem.rule for problem in problems} == {
        "value-malformed",
        "key-missing",
        "quantity-malformed",
        "colour-unknown",
    }
    assert chapter is not None
    assert (chapter.title, chapter.set_by, chapter.system) == ("", "", "Engine management")
    assert chapter.states == (State("cold", at(5, 10), key="on"),)
    assert [spec.place for spec in chapter.specs] == [at(7, 5)]
    assert [str(wire.ends[1]) for wire in chapter.wiring.wires] == ["X12.4"]
    assert [(step.test, [branch.answer for branch in step.branches]) for step in chapter.steps] == [(None, ["yes"])]


def test_a_part_that_is_only_added_to_is_not_declared_again(chapter_notebook: Make, chapter_head: str) -> None:
    facts = chapter_head + 'circuit: {parts: {M1: {connectors: {M1-A: {"1": FEED}}}, M2: {hazards: airbag}}}\n'
    chapter, problems = read_chapter(chapter_notebook(facts))
    assert problems == ()
    assert chapter is not None
    assert [(part.id, part.name, part.kind) for part in chapter.wiring.parts] == [("M2", "", "")]
    assert [cavity.part for cavity in chapter.wiring.cavities] == ["M1"]


def test_wiring_is_not_limited_where_the_chapter_holds_for_all_series(chapter_notebook: Make) -> None:
    notebook = chapter_notebook(FULL)
    alone, _ = read_chapter(notebook)
    of_one, _ = read_chapter(notebook, Shared(series=("A",)))
    of_two, _ = read_chapter(notebook, Shared(series=("A", "B")))
    assert alone is not None
    assert of_one is not None
    assert of_two is not None
    assert [wire.series for wire in alone.wiring.wires] == [A, A, B]
    assert [wire.series for wire in of_one.wiring.wires] == [(), (), B]
    assert of_two == alone


def test_a_series_at_a_connector_holds_for_its_cavities(chapter_notebook: Make, chapter_head: str) -> None:
    facts = chapter_head + "circuit: {parts: {M1: {connectors: {M1-A: {series: B, 1: X, 2: {signal: Y, series: A}}}}}}"
    chapter, problems = read_chapter(chapter_notebook(facts))
    assert problems == ()
    assert chapter is not None
    assert [connector.series for connector in chapter.wiring.connectors] == [B]
    assert [cavity.series for cavity in chapter.wiring.cavities] == [B, A]
