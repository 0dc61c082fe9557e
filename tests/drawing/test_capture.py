"""A capture on the graticule: the scales of what was expected, nothing beyond its end, no lost peak, same bytes."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
import pytest

from authorkit.drawing.capture import draw_capture, value_words
from authorkit.model.point import parse_point
from authorkit.model.specification import Waveform
from authorkit.problems import Place
from authorkit.signals.summary import summary_of
from authorkit.units import parse_quantity, parse_window

SQUARE = (("low", "0.2 V"), ("high", "5 V"), ("frequency", "120 Hz"), ("duty", "50 %"))


def _waveform(shape: str = "square", limits: tuple[tuple[str, str], ...] = ()) -> Waveform:
    return Waveform(
        "speed",
        parse_point("M1-A.3"),
        None,
        Place("x"),
        shape=shape,
        values=tuple((name, parse_quantity(text)) for name, text in SQUARE) if shape else (),
        capture="a.csv",
        limits=tuple((name, parse_window(text)) for name, text in limits),
    )


def _draw(tmp_path, waveform, *channels, interval: float = 25e-6):
    path = tmp_path / "a.csv"
    header = ",".join(["time_s", *(f"ch{n}_V" for n in range(1, len(channels) + 1))])
    table = np.column_stack([np.arange(len(channels[0])) * interval, *channels])
    np.savetxt(path, table, delimiter=",", header=header, comments="", fmt="%.9g")
    return draw_capture(waveform, path, summary_of(path))


def _square(seconds: float, shift: float = 0.0, interval: float = 25e-6):
    times = np.arange(round(seconds / interval)) * interval
    return np.where(((times + shift) * 120) % 1 < 0.5, 5.0, 0.2)


def _words(picture) -> str:
    return " ".join(ElementTree.fromstring(picture.svg).itertext()).replace("\u202f", " ").replace("\u00a0", " ")


def _paths(picture, *roles):
    for element in ElementTree.fromstring(picture.svg).iter():
        if element.get("class") in roles:
            text = element.get("d", element.get("points", "")).replace(",", " ")
            numbers = [float(word) for word in text.split() if not word.isalpha()]
            yield np.array(numbers).reshape(-1, 2)


def test_scales_measured_values_and_words_are_printed(tmp_path):
    picture = _draw(
        tmp_path, _waveform(limits=(("frequency", "110 to 130 Hz"), ("ch2.mean", "0 to 1 V"))), _square(0.06)
    )
    assert "1 V/div, 5 ms/div" in _words(picture)
    assert "measured: frequency 120 Hz" in _words(picture)
    assert picture.alt.startswith("Capture of speed, 1 channel; 1")
    assert "frequency 120" in picture.alt


def test_without_limits_the_usual_values_are_printed(tmp_path):
    words = _words(_draw(tmp_path, _waveform(), _square(0.06)))
    assert "measured: high" in words
    assert "duty 50 %" in words


@pytest.mark.parametrize("shift", [0.0, 0.002, 0.005])
def test_a_long_capture_begins_so_that_its_edges_stand_below_the_expected_ones(tmp_path, shift):
    picture = _draw(tmp_path, _waveform(), _square(0.2, shift))
    (frame,), (trace,) = _paths(picture, "frame"), _paths(picture, "trace")
    division = np.ptp(frame[:, 0]) / 10
    rise = trace[np.argmax(np.diff(trace[:, 1]) < -division)][0] - frame[:, 0].min()
    assert rise == pytest.approx(division * (1 / 120 / 4) / 5e-3, abs=0.02 * division)


def test_a_short_capture_ends_where_its_samples_end(tmp_path):
    picture = _draw(tmp_path, _waveform(), _square(0.02))
    (frame,), (trace,) = _paths(picture, "frame"), _paths(picture, "trace")
    assert np.ptp(trace[:, 0]) == pytest.approx(0.4 * np.ptp(frame[:, 0]), rel=0.01)


def test_a_needle_of_one_sample_is_drawn(tmp_path):
    values = np.zeros(50_000)
    values[33_333] = 8.0
    picture = _draw(tmp_path, _waveform(""), values)
    (frame,), (trace,) = _paths(picture, "frame"), _paths(picture, "trace")
    assert np.ptp(trace[:, 1]) == pytest.approx(4 * np.ptp(frame[:, 1]) / 8, rel=0.01)  # 8 V at 2 V/div
    assert len(trace) < 1300
    assert "2 V/div" in _words(picture)


def test_a_capture_that_leaves_the_expected_scale_gets_its_own(tmp_path):
    picture = _draw(tmp_path, _waveform(), 5 * _square(0.06))
    assert "5 V/div" in _words(picture)
    (frame,), (trace,) = _paths(picture, "frame"), _paths(picture, "trace")
    assert trace[:, 1].min() >= frame[:, 1].min()
    assert trace[:, 1].max() <= frame[:, 1].max()


def test_two_channels_get_a_band_each_with_their_names(tmp_path):
    sine = np.sin(np.arange(4000) / 20)
    picture = _draw(tmp_path, _waveform(""), sine, sine)
    first, second = (next(_paths(picture, role)) for role in ("trace", "second-trace"))
    assert first[:, 1].max() < second[:, 1].min()
    assert "CH1" in _words(picture)
    assert "ch2.frequency" in _words(picture)


def test_the_same_bytes_each_time(tmp_path):
    assert _draw(tmp_path, _waveform(), _square(0.1)).svg == _draw(tmp_path, _waveform(), _square(0.1)).svg


def test_a_value_that_the_capture_lacks_is_empty(tmp_path):
    _draw(tmp_path, _waveform(), _square(0.06))
    summary = summary_of(tmp_path / "a.csv")
    assert value_words(summary, "frequency") == "120\u202fHz"
    assert value_words(summary, "phase") == ""
    assert value_words(summary, "ch2.frequency") == ""
