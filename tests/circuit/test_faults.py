"""Every single fault, with an id that stays and a sentence."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from authorkit.checks.procedure.accused import accusable
from authorkit.checks.subject import subject_of
from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import KINDS, Fault, faults_of, find_fault, with_fault
from authorkit.circuit.measurement import Measurement
from authorkit.circuit.netlist import Netlist
from authorkit.circuit.readings import faults_in
from authorkit.circuit.solve import Meter, settle, solve
from authorkit.circuit.states import conditions_of
from authorkit.circuit.study import study_of
from authorkit.circuit.view import circuit_of
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book


@pytest.fixture(scope="module")
def demo() -> Book:
    book, _ = read_book(Path(__file__).parents[2])
    assert book is not None
    return book


def circuit(demo: Book, code: str, state: str, series: str = "A") -> tuple[Netlist, dict[str, Fault]]:
    chapter = demo.chapter(code)
    assert chapter is not None
    found = next(each for each in chapter.states if each.name == state)
    wiring = circuit_of(demo, chapter, series)
    netlist = expand(wiring, conditions_of(demo, found, series))
    return netlist, {fault.id: fault for fault in faults_of(wiring, [netlist])}


def reading(netlist: Netlist, at: str, to: str) -> float:
    return float(solve(settle(netlist).netlist, [Meter(at, to, 10e6)]).meters[0, 0])


# Coolant sensor, 20 °C: pull-up 2.49 kΩ to 5 V over 2.49 kΩ; what the signal reads with each fault, by Ohm's law.
COLD = {
    "open-K131-B5.1-X12.4": 5.0,
    "contact-open-X12.4": 5.0,
    "short-to-ground-K131-X12.4-B5.1": 0.0,
    "resistance-K131-X12.4-B5.1": 5.0 * 2590 / 5080,
    "shorted-B5-thermistor": 0.0,
    "open-B5-thermistor": 5.0,
    "high-B5-thermistor": 5.0 * 4980 / 7470,
    "bridge-B5.1-B5.2": 0.0,
    "swapped-B5.1-B5.2": 2.5,
    "open-M1-pull-up": 0.0,
    "short-to-battery-K131-X12.4-B5.1": 12.6,
}


@pytest.mark.parametrize(("identity", "expected"), COLD.items())
def test_fault_moves_the_signal_to_where_it_must(demo: Book, identity: str, expected: float) -> None:
    netlist, faults = circuit(demo, "P0118", "cold")
    assert reading(with_fault(netlist, faults[identity]), "M1-A.23", "G1") == pytest.approx(expected, abs=0.03)


def test_blown_fuse_and_lost_ground(demo: Book) -> None:
    netlist, faults = circuit(demo, "P0443", "off")
    assert reading(netlist, "M1-B.12", "G1") == pytest.approx(12.6, abs=0.05)
    assert reading(with_fault(netlist, faults["blown-FB1-fuse"]), "M1-B.12", "G1") == pytest.approx(0.0, abs=0.01)
    assert "lost-G1" in faults


def test_short_behind_the_fuse_blows_it(demo: Book) -> None:
    netlist, faults = circuit(demo, "P0443", "off")
    fault = faults["short-to-ground-E103-FB1-C.3-S4"]
    settled = settle(with_fault(netlist, fault))
    assert any(name.endswith(":blown") for name in settled.thrown)


def test_stuck_relay_runs_the_fan_while_nobody_asks(demo: Book) -> None:
    netlist, faults = circuit(demo, "P0480", "off")
    assert reading(netlist, "FN1.1", "FN1.2") == pytest.approx(0.0, abs=0.01)
    assert reading(with_fault(netlist, faults["stuck-RL1-contact"]), "FN1.1", "FN1.2") > 11.0


def test_ids_are_unique_plain_and_the_same_each_time(demo: Book) -> None:
    for chapter in demo.chapters:
        for series in demo.vehicle.series_ids:
            found = faults_in(demo, chapter, series)
            assert found == faults_in(demo, chapter, series)
            assert len({fault.id for fault in found}) == len(found) > 10
            assert all(re.fullmatch(r"[A-Za-z0-9+.-]+", fault.id) for fault in found)
            assert all(fault.kind in KINDS and fault.sentence.endswith(".") for fault in found)


def test_every_wire_of_the_circuit_can_open_at_both_ends(demo: Book) -> None:
    chapter = demo.chapter("P0571")
    assert chapter is not None
    found = faults_in(demo, chapter, "A")
    opens = [fault for fault in found if fault.kind == "open" and fault.target.startswith("wire:")]
    assert len(opens) == 2 * len(circuit_of(demo, chapter, "A").wires)
    assert find_fault(found, opens[0].id) is opens[0]
    assert find_fault(found, "no-such-fault") is None


@pytest.mark.parametrize(
    ("identity", "blames"),
    [
        ("open-K131-X12.4-B5.1", ("K131", "K131 at X12", "K131 at X12.4")),
        ("open-Z101-G1-M1-A.2", ("Z101", "Z101 at G1", "G1")),
        ("contact-open-X12.4", ("X12.4", "X12", "K131", "K131 at X12", "K131 at X12.4")),
        ("short-to-ground-K131-X12.4-B5.1", ("K131",)),
        ("shorted-B5-thermistor", ("B5",)),
        ("lost-G1", ("G1",)),
    ],
)
def test_fault_tells_the_names_that_a_verdict_may_give(demo: Book, identity: str, blames: tuple[str, ...]) -> None:
    _, faults = circuit(demo, "P0118", "cold")
    assert faults[identity].blames == blames
    assert faults[identity].accused == blames[0]


def test_every_fault_of_the_demo_can_be_accused_by_a_name_that_a_verdict_may_use(demo: Book) -> None:
    subject = subject_of(demo)
    for chapter in demo.chapters:
        for own in subject.circuits_of(chapter):
            names = accusable(own)
            for fault in faults_in(demo, chapter, own.series):
                assert fault.blames, fault.id
                assert all(names.holds(name) for name in fault.blames), fault


def test_blown_fuse_accuses_the_fuse_not_its_box(demo: Book) -> None:
    _, faults = circuit(demo, "P0443", "off")
    assert faults["blown-FB1-fuse"].accused.startswith("F")


def test_swapped_wires_leave_the_clamp_on_the_wire_that_is_there_now(demo: Book) -> None:
    chapter = demo.chapter("P0443")
    assert chapter is not None
    study = study_of(demo, chapter, "A")
    swaps = [fault.id for fault in study.faults if fault.kind == "swapped" and fault.at.startswith("Y1")]
    assert swaps
    question = ("on", Measurement("amps", "Y1.1"))
    sound = study.reading(question)
    assert sound is not None
    for identity in swaps:
        swapped = study.reading(question, identity)
        assert swapped is not None
        assert swapped.nominal == pytest.approx(sound.nominal, rel=1e-3)


def test_kinds_of_faults_that_every_chapter_with_a_connector_has(demo: Book) -> None:
    for chapter in demo.chapters:
        kinds = {fault.kind for fault in faults_in(demo, chapter, "A")}
        assert kinds >= {"open", "added resistance", "short to ground", "short to battery", "lost", "device"}
