"""Oscilloscope pictures: scales by the 1-2-5 rule, everything inside the graticule, same bytes each time."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from authorkit.drawing.waveform import _step_above, draw_waveform
from authorkit.model.point import parse_point
from authorkit.model.specification import Waveform
from authorkit.problems import Place
from authorkit.units import parse_quantity


def _waveform(shape: str = "square", **values: str) -> Waveform:
    parsed = tuple((name.replace("_", "-"), parse_quantity(text)) for name, text in values.items())
    return Waveform("speed", parse_point("M1-A.3"), None, Place("x"), shape=shape, values=parsed)


SQUARE = {"low": "0.2 V", "high": "4.8 V", "frequency": "120 Hz", "duty": "50 %"}


@pytest.mark.parametrize(("least", "step"), [(0.9, 1), (1.0, 1), (1.1, 2), (2.1, 5), (5.1, 10), (0.0031, 0.005)])
def test_steps_follow_one_two_five(least, step):
    assert _step_above(least) == pytest.approx(step)


def test_the_picture_says_its_scales_and_values():
    picture, problems = draw_waveform(_waveform(**SQUARE))
    assert not problems
    text = " ".join(ElementTree.fromstring(picture.svg).itertext()).replace("\u00a0", " ")
    assert "1 V/div, 5 ms/div" in text
    assert "high 4.8 V" in text
    assert "duty 50 %" in text


def test_the_alternative_text_holds_what_the_picture_shows():
    picture, _ = draw_waveform(_waveform(**SQUARE))
    assert picture.alt.startswith("Oscilloscope picture of speed: square wave;")
    assert "1\u202fV/div" in picture.alt


def test_the_same_bytes_each_time():
    assert draw_waveform(_waveform(**SQUARE))[0].svg == draw_waveform(_waveform(**SQUARE))[0].svg


@pytest.mark.parametrize(
    "waveform",
    [
        _waveform(**SQUARE),
        _waveform("level", level="12.6 V"),
        _waveform("level", level="0 V"),
        _waveform("resolver", amplitude="7 V", carrier="10 kHz", turning="500 Hz"),
        _waveform("two-wire-bus", recessive="2.5 V", dominant_high="3.5 V", dominant_low="1.5 V", bit_time="2 µs"),
        _waveform("ramp", low="352 V", high="355 V", duration="2 s"),
    ],
)
def test_every_trace_stays_inside_the_graticule(waveform):
    picture, _ = draw_waveform(waveform)
    root = ElementTree.fromstring(picture.svg)
    frame = _box(next(element for element in root.iter() if element.get("class") == "frame"))
    traces = [element for element in root.iter() if element.get("class") in ("trace", "second-trace")]
    assert traces
    for trace in traces:
        left, top, right, bottom = _box(trace)
        assert left >= frame[0] - 0.1
        assert right <= frame[2] + 0.1
        assert top >= frame[1] - 0.1
        assert bottom <= frame[3] + 0.1
        assert right == pytest.approx(frame[2], abs=0.1)  # it runs to the right edge


def test_a_description_that_cannot_be_drawn_gives_no_picture():
    picture, problems = draw_waveform(_waveform(low="0 V", high="5 V"))
    assert picture is None
    assert [problem.rule for problem in problems] == ["waveform-malformed"]


def _box(element: ElementTree.Element) -> tuple[float, float, float, float]:
    numbers = [
        float(word)
        for word in element.get("d", element.get("points", "")).replace(",", " ").split()
        if _is_number(word)
    ]
    xs, ys = numbers[0::2], numbers[1::2]
    return min(xs), min(ys), max(xs), max(ys)


def _is_number(word: str) -> bool:
    try:
        float(word)
    except ValueError:
        return False
    return True
