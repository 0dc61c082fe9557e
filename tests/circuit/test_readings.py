"""Readings of whole chapters."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.circuit.instruments import INSTRUMENTS
from authorkit.circuit.readings import Measurement, Reading, faults_in, measured, read_state, readings_of, states_of
from authorkit.circuit.states import state_name
from authorkit.circuit.view import circuit_of
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.model.point import parse_point


@pytest.fixture(scope="module")
def demo() -> Book:
    book, _ = read_book(Path(__file__).parents[2])
    assert book is not None
    return book


def read(demo: Book, code: str, state: str, measurement: Measurement, fault: str = "", series: str = "A") -> Reading:
    chapter = demo.chapter(code)
    assert chapter is not None
    found = next(each for each in states_of(chapter, series) if state_name(each) == state)
    wrong = next((each for each in faults_in(demo, chapter, series) if each.id == fault), None)
    assert (wrong is None) == (fault == "")
    (reading,) = read_state(demo, circuit_of(demo, chapter, series), (found, series), [measurement], fault=wrong)
    return reading


def test_divider_with_its_tolerances_is_guaranteed_only_without_diodes(demo: Book) -> None:
    reading = read(demo, "P0118", "cold", Measurement("volts", "M1-A.23", "G1"))
    assert reading.status == "driven"
    assert reading.nominal == pytest.approx(2.4998, abs=1e-3)
    assert reading.low is not None
    assert reading.high is not None
    # 2.49 kΩ ± 1 % over 2.49 kΩ ± 2 %: 2.462 to 2.537 V, wider by the meter.
    assert 2.43 < reading.low < 2.463
    assert 2.537 < reading.high < 2.57
    assert reading.basis == "corners"
    assert read(demo, "P0443", "on", Measurement("volts", "M1-B.12", "G1")).basis == "guaranteed"


def test_wire_end_that_nothing_drives_floats_and_has_no_number(demo: Book) -> None:
    reading = read(demo, "P0443", "unplugged", Measurement("volts", "Y1.1", "G1"), "contact-open-FB1-C.3")
    assert (reading.status, reading.nominal) == ("floating", None)


def test_ohmmeter_refuses_a_live_circuit(demo: Book) -> None:
    reading = read(demo, "P0118", "cold", Measurement("ohms", "M1-A.23", "G1"))
    assert (reading.status, reading.nominal) == ("live circuit", None)


def test_ohmmeter_without_a_path_reads_open(demo: Book) -> None:
    reading = read(demo, "P0A3F", "harness", Measurement("ohms", "M5-A.21", "M5-A.23"))
    assert (reading.status, reading.nominal) == ("open", None)


def test_blown_fuse_is_told_with_the_reading(demo: Book) -> None:
    reading = read(demo, "P0443", "off", Measurement("volts", "Y1.1", "G1"), "short-to-ground-E103-FB1-C.3-S4")
    assert reading.status == "fuse blown"
    assert reading.nominal == pytest.approx(0.0, abs=1e-3)


def test_clamp_reads_the_wire_at_a_cavity(demo: Book) -> None:
    reading = read(demo, "P0443", "on", Measurement("amps", "Y1.1"))
    assert reading.nominal == pytest.approx(12.6 / 26.47, rel=2e-3)
    assert reading.unit == "A"


def test_pulse_train_has_its_rate_and_a_dead_one_none(demo: Book) -> None:
    counted = Measurement("hertz", "M1-A.31", "G1")
    assert read(demo, "P0500", "rolling", counted).nominal == 120.0
    assert read(demo, "P0500", "rolling", counted, "open-M1-pull-up").nominal == 0.0


def test_d_c_meter_averages_a_pulsed_output(demo: Book) -> None:
    chapter = demo.chapter("P0480")
    assert chapter is not None
    state = chapter.waveforms[0].state
    assert state is not None
    wiring = circuit_of(demo, chapter, "B")
    mean, duty = read_state(
        demo,
        wiring,
        (state, "B"),
        [Measurement("volts", "M1-B.14", "G1"), Measurement("duty", "M1-B.14", "G1")],
    )
    assert mean.nominal == pytest.approx(0.6 * 12.03, abs=0.05)
    assert duty.nominal == pytest.approx(60.0)
    assert mean.basis == "corners"


def test_three_instruments_tell_a_corroded_feed_from_a_good_one(demo: Book) -> None:
    # 100 Ω in the feed: a voltmeter sees nothing, a test lamp does.
    fault = "contact-resistance-FB1-C.3"
    good = read(demo, "P0443", "unplugged", Measurement("lamp", "Y1.1", "G1"))
    volts = read(demo, "P0443", "unplugged", Measurement("volts", "Y1.1", "G1"), fault)
    lamp = read(demo, "P0443", "unplugged", Measurement("lamp", "Y1.1", "G1"), fault)
    assert good.nominal is not None
    assert good.nominal > 11.5
    assert volts.nominal == pytest.approx(12.6, abs=0.01)
    assert lamp.nominal == pytest.approx(12.6 * 6.857 / 107, abs=0.05)


def test_state_that_says_too_little_leaves_the_reading_undetermined(demo: Book) -> None:
    chapter = demo.chapter("P0118")
    assert chapter is not None
    during = chapter.sets_when[0].during
    assert during is not None
    wiring = circuit_of(demo, chapter, "A")
    (reading,) = read_state(demo, wiring, (during, "A"), [Measurement("volts", "M1-A.23", "G1")])
    assert (reading.status, reading.nominal) == ("undetermined", None)


@pytest.mark.parametrize(
    ("code", "state", "instrument", "points", "at"),
    [
        ("P0118", "bench", "ohms", ("B5.1", "B5.2"), "B5.1/part"),
        ("P0118", "unplugged", "volts", ("B5.1", "B5.2"), "B5.1"),
        ("P0A3F", "harness", "ohms", ("M5-A.21", "M5-A.22"), "M5-A.21"),
        ("P0AA1", "coils", "ohms", ("J1-C.1", "J1-C.2"), "J1-C.1/part"),
    ],
)
def test_meter_goes_to_the_harness_and_an_ohmmeter_to_the_part_that_was_unplugged(
    demo: Book, code: str, state: str, instrument: str, points: tuple[str, str], at: str
) -> None:
    chapter = demo.chapter(code)
    assert chapter is not None
    found = next(each for each in chapter.states if each.name == state)
    first, second = (parse_point(point) for point in points)
    assert measured(instrument, (first, second), circuit_of(demo, chapter, "A"), found).at == at


def test_every_sound_reading_of_the_demo_has_an_answer(demo: Book) -> None:
    for chapter in demo.chapters:
        for series in demo.vehicle.series_ids:
            for reading in readings_of(demo, chapter, series, states_of(chapter, series)):
                assert reading.status in ("driven", "floating", "open", "undetermined"), (chapter.code, reading)
                assert reading.measurement.instrument in INSTRUMENTS
                if reading.nominal is not None:
                    assert reading.low is not None
                    assert reading.high is not None
                    assert reading.low <= reading.nominal <= reading.high, (chapter.code, reading)
