"""From an author's words to traces, or to a finding that says what is wrong."""

from __future__ import annotations

import pytest

from authorkit.model.point import parse_point
from authorkit.model.specification import Waveform
from authorkit.problems import Place
from authorkit.signals import SHAPES, describe
from authorkit.units import parse_quantity

PLACE = Place("chapters/P0500.ipynb", 1, 12)


def _waveform(shape: str, **values: str) -> Waveform:
    parsed = tuple((name, parse_quantity(text)) for name, text in values.items())
    return Waveform("speed", parse_point("M1-A.3"), parse_point("G1"), PLACE, shape=shape, values=parsed)


def test_every_shape_can_be_made_from_its_own_examples():
    for name, shape in SHAPES.items():
        values = []
        for key, entry in shape.keys.items():
            if entry.required:
                text = "20 Hz" if key in ("turning", "envelope") else "1 kHz" if key == "carrier" else entry.example
                values.append((key, parse_quantity(text)))
        waveform = Waveform(name, parse_point("M1-A.3"), None, PLACE, shape=name, values=tuple(values))
        signal, problems = describe(waveform)
        assert not problems, (name, problems)
        assert signal is not None
        assert signal.duration > 0


def test_an_unknown_shape_names_the_nearest():
    signal, (problem,) = describe(_waveform("sqare", low="0 V", high="5 V", frequency="100 Hz"))
    assert signal is None
    assert problem.rule == "waveform-malformed"
    assert problem.suggestion == "Did you mean 'square'?"
    assert problem.place == PLACE


def test_missing_unknown_and_wrong_values_are_all_reported_at_once():
    _, problems = describe(_waveform("square", low="0 V", hihg="5 V", frequency="10 ms"))
    assert [problem.message for problem in problems] == [
        "Waveform 'speed': A 'square' waveform has no value 'hihg'.",
        "Waveform 'speed': The value 'high' is missing.",
        "Waveform 'speed': 'frequency' cannot be '10 ms'.",
    ]


@pytest.mark.parametrize("unit", ["V", "mA"])
def test_the_vertical_axis_measures_what_the_levels_measure(unit):
    signal, _ = describe(_waveform("square", low=f"7 {unit}", high=f"14 {unit}", frequency="100 Hz"))
    assert signal is not None
    assert signal.dimension == {"V": "voltage", "mA": "current"}[unit]
