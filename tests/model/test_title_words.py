from __future__ import annotations

import pytest

from authorkit.model.title_words import read_title


def test_a_title_is_read_into_subject_failure_and_marks():
    said = read_title("O2 sensor heater circuit low (bank 2, sensor 1)")
    assert sorted(said.subject) == ["heater", "o2"]
    assert sorted(said.modes) == ["low"]
    assert (sorted(said.bank), sorted(said.numbers), sorted(said.letters)) == (["2"], ["1"], [])


def test_what_stands_in_brackets_is_said_aside():
    said = read_title("Evaporative emission system leak detected (very small leak)")
    assert sorted(said.modes) == []
    assert sorted(said.aside) == ["verysmall"]


@pytest.mark.parametrize(
    ("title", "letters"),
    [
        ("Fuel pump 'A' control circuit", ["A"]),
        ("Sensor D / E correlation", ["D", "E"]),
        ("Sensor A/B correlation", ["A", "B"]),
        ("pedal position sensor e circuit", ["E"]),
        ("A/C pressure sensor", []),
        ("Short to B+", []),
        ("A fault in a circuit", []),
        ("Oil above 120 °C", []),
    ],
)
def test_only_the_letter_of_a_series_is_a_mark(title, letters):
    assert sorted(read_title(title).letters) == letters


@pytest.mark.parametrize(
    ("title", "numbers"),
    [
        ("Cylinder 3 misfire", ["3"]),
        ("Cylinder #03 misfire", ["3"]),
        ("ECT sensor 1/2 correlation", ["1", "2"]),
        ("5 V reference", []),
        ("14 volt power module", []),
        ("48V battery", []),
        ("O2 sensor", []),
    ],
)
def test_a_voltage_or_a_name_is_no_number(title, numbers):
    assert sorted(read_title(title).numbers) == numbers


@pytest.mark.parametrize(
    ("title", "modes"),
    [
        ("High voltage system interlock circuit low", ["low"]),
        ("HV fuse", []),
        ("High speed CAN communication bus", []),
        ("O2 sensor circuit high voltage", ["high"]),
        ("Contactor welded", ["stuckclosed"]),
        ("Signal shorted to ground", ["low", "short"]),
        ("Transmission range sensor", []),
        ("Sensor circuit range/performance", ["performance"]),
        ("Injector circuit/open", []),
    ],
)
def test_how_it_failed_is_told_apart_from_names(title, modes):
    assert sorted(read_title(title).modes) == modes
