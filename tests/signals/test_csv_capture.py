"""Captures from CSV: common layouts, the same numbers as numpy reads, and a clear error for what cannot be read."""

from __future__ import annotations

import numpy as np
import pandas
import pytest

from authorkit.signals import csv_capture
from authorkit.signals.capture import CaptureError, read_capture

TIMES = [0.0, 0.001, 0.002, 0.003, 0.004]
VALUES = [0.1, 4.9, 5.0, -0.2, 0.3]

# Invented files in the layouts that are in common use: what stands above and beside the numbers differs.
LAYOUTS = {
    "plain": "time_s,ch1_V\n" + "".join(f"{t},{v}\n" for t, v in zip(TIMES, VALUES, strict=True)),
    "unit row and a blank line": "Time,Channel A\r\n(ms),(V)\r\n\r\n"
    + "".join(f"{t * 1e3:.6f},{v}\r\n" for t, v in zip(TIMES, VALUES, strict=True)),
    "units in words": "x-axis,1\nsecond,Volt\n" + "".join(f"{t:e},{v:e}\n" for t, v in zip(TIMES, VALUES, strict=True)),
    "preamble": "Model,none\nSample Interval,0.001,s\nVertical Units,mV\n\nTIME (s),CH1\n"
    + "".join(f"{t},{v * 1e3}\n" for t, v in zip(TIMES, VALUES, strict=True)),
    "decimal comma after semicolon": "Time [µs];Level [mV]\n"
    + "".join(f"{t * 1e6:.1f};{v * 1e3:.1f}\n".replace(".", ",") for t, v in zip(TIMES, VALUES, strict=True)),
    "tab and decimal comma": "time_ms\tch1_V\n"
    + "".join(f"{t * 1e3:.1f}\t{v:.1f}\n".replace(".", ",") for t, v in zip(TIMES, VALUES, strict=True)),
    "interval and one column": "Sampling Period: 1 ms\nVertical Unit: V\nCH1\n" + "".join(f"{v}\n" for v in VALUES),
    "rate in the header": "Sample Rate,1,kSa/s\nCH1(V)\n" + "".join(f"{v}\n" for v in VALUES),
    "counter, start and increment": "X,CH1,Start,Increment\nSequence,Volt,0.0,1e-3\n"
    + "".join(f"{number},{v},\n" for number, v in enumerate(VALUES)),
    "preamble to the left": "".join(
        f"{left},{t},{v}\n"
        for left, t, v in zip(
            ["Record Length,5", "Horizontal Units,s", "Vertical Units,V", ",", ","], TIMES, VALUES, strict=True
        )
    ),
    "quotes and a byte-order mark": '\ufeff"time_s","ch1_V"\n'
    + "".join(f'"{t}","{v}"\n' for t, v in zip(TIMES, VALUES, strict=True)),
}


def _written(tmp_path, text: str, encoding: str = "utf-8"):
    path = tmp_path / "capture.csv"
    path.write_bytes(text.encode(encoding))
    return path


def _error(tmp_path, text: str) -> CaptureError:
    with pytest.raises(CaptureError) as caught:
        read_capture(_written(tmp_path, text))
    error = caught.value
    assert str(error).endswith(".")
    assert error.found
    assert error.expected
    assert error.suggestion.endswith(".")
    return error


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_common_layout_gives_seconds_and_volts(tmp_path, layout):
    capture = read_capture(_written(tmp_path, LAYOUTS[layout]))
    assert len(capture.channels) == 1
    assert capture.channels[0].dimension == "voltage"
    np.testing.assert_allclose(capture.times, TIMES, atol=1e-12)
    np.testing.assert_allclose(capture.channels[0].values, VALUES, atol=1e-12)


def test_an_old_micro_sign_is_read(tmp_path):
    text = "Time [µs],A [V]\n" + "".join(f"{n},{n}\n" for n in range(6))
    assert read_capture(_written(tmp_path, text, "latin-1")).interval == pytest.approx(1e-6)


def test_numpy_reads_the_same_numbers(tmp_path, monkeypatch):
    """Oracle: numpy.genfromtxt, on a file that is read in many blocks."""
    monkeypatch.setattr(csv_capture, "_BLOCK", 1000)
    generator = np.random.default_rng(7)
    table = np.column_stack([np.arange(2000) * 1e-5, generator.normal(0, 3, (2000, 2))])
    path = tmp_path / "capture.csv"
    np.savetxt(path, table, delimiter=",", header="time_s,signal_V,clamp_mA", comments="")
    capture = read_capture(path)
    outside = np.genfromtxt(path, delimiter=",", skip_header=1)
    np.testing.assert_array_equal(capture.times, outside[:, 0])
    np.testing.assert_array_equal(capture.channels[0].values, outside[:, 1])
    np.testing.assert_array_equal(capture.channels[1].values, outside[:, 2] * 1e-3)
    assert [(channel.name, channel.dimension) for channel in capture.channels] == [
        ("SIGNAL", "voltage"),
        ("CLAMP", "current"),
    ]


@pytest.mark.parametrize(
    ("delimiter", "decimal", "header", "skipped"),
    [
        (",", ".", "time_s,signal_V", 0),
        (";", ",", "Time [s];Level [V]", 0),
        ("\t", ",", "time_s\tch1_V", 0),
        (",", ".", "Model,none\nVertical Units,V\nTime (s),CH1", 2),
    ],
)
def test_pandas_reads_the_same_numbers(tmp_path, delimiter, decimal, header, skipped):
    """Oracle: pandas.read_csv, told what we must find out."""
    generator = np.random.default_rng(11)
    table = np.column_stack([np.arange(500) * 1e-4, generator.normal(0, 3, 500)])
    rows = "\n".join(delimiter.join(repr(float(cell)).replace(".", decimal) for cell in row) for row in table)
    path = _written(tmp_path, f"{header}\n{rows}\n")
    outside = pandas.read_csv(path, sep=delimiter, decimal=decimal, skiprows=skipped, engine="python")
    capture = read_capture(path)
    np.testing.assert_allclose(capture.times, outside.iloc[:, 0], rtol=1e-14)
    np.testing.assert_allclose(capture.channels[0].values, outside.iloc[:, 1], rtol=1e-14)


def test_channels_are_chosen_by_name(tmp_path):
    path = _written(tmp_path, "time_s,ch1_V,ch2_A\n" + "".join(f"{n},{n},{2 * n}\n" for n in range(6)))
    (channel,) = read_capture(path, ("ch2",)).channels
    assert (channel.name, channel.dimension, channel.values[-1]) == ("CH2", "current", 10)
    with pytest.raises(CaptureError, match="no channel 'CH7'"):
        read_capture(path, ("CH7",))


def test_the_demo_captures_are_read(repo_root):
    speed = read_capture(repo_root / "figures" / "speed-120hz.csv")
    assert (len(speed.times), len(speed.channels)) == (2001, 1)
    assert speed.interval == pytest.approx(25e-6)
    assert len(read_capture(repo_root / "figures" / "resolver-250hz.csv").channels) == 2


ROWS = [f"{number},{number * 2}" for number in range(40)]


@pytest.mark.parametrize(
    ("bad", "message"),
    [
        ("20,", "Line 22, column 2, holds no number."),
        ("20,nan", "Line 22, column 2, holds no number."),
        ("20,-inf", "Line 22, column 2, holds no number."),
        ("20,abc", "Line 22, column 2, holds no number."),
        ("20", "Line 22 has another number of columns than the rows before."),
        ("20,40,60", "Line 22 has another number of columns than the rows before."),
        ("19,40", "In line 22 the time does not advance."),
        ("18.5,40", "In line 22 the time does not advance."),
        ("2_0,40", "cannot be read"),
    ],
)
@pytest.mark.parametrize("block", [64, 1 << 20])
def test_a_bad_row_is_named_with_its_line(tmp_path, monkeypatch, block, bad, message):
    monkeypatch.setattr(csv_capture, "_BLOCK", block)
    error = _error(tmp_path, "\n".join(["time_s,ch1_V", *ROWS[:20], bad, *ROWS[21:]]) + "\n")
    assert message in str(error)
    assert error.line == 22 or "_" in bad


def test_blank_lines_do_not_shift_the_line_that_is_named(tmp_path):
    error = _error(tmp_path, "\n".join(["time_s,ch1_V", *ROWS[:5], "", "", *ROWS[5:9], "3,3", *ROWS[10:]]))
    assert error.line == 13


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no rows of numbers"),
        ("\n\n\n", "no rows of numbers"),
        ("speed,time\nfast,now\n", "no rows of numbers"),
        ("time,ch1\n0,1\n1,2\n2,3\n3,4\n", "The column of time has no unit."),
        ("0,1\n1,2\n2,3\n3,4\n", "Neither a column of time nor the time between two samples"),
        ("time_s\n0\n1\n2\n3\n", "no channel beside its time"),
        ("time_s,ch1_kHz\n0,1\n1,2\n2,3\n3,4\n", "Channel 1 is a frequency"),
        ("time_s,ch1_V\n0,1\n1,2\n", "too few samples"),
        ("time_s,ch1_V\n0,1\n1,2\n\0", "not plain text"),
        ("time_s,ch1_V\n0,1\n1,2\n2,1e300\n3,4\n", "holds a value that no signal has"),
        ("time_s,ch1_V\n0,1\n1e-30,2\n1,3\n2,4\n", "not those of a signal"),
        ("dt,1e400,s\nCH1\n1\n2\n3\n4\n", "Neither a column of time"),
        ("Sample Interval,0,s\nCH1\n1\n2\n3\n4\n", "Neither a column of time"),
    ],
)
def test_a_file_that_is_no_capture_says_what_is_missing(tmp_path, text, message):
    assert message in str(_error(tmp_path, text))


def test_utf_16_is_named(tmp_path):
    path = _written(tmp_path, "time_s,ch1_V\n0,1\n", "utf-16")
    with pytest.raises(CaptureError, match="not plain text"):
        read_capture(path)


def test_a_capture_beyond_the_limit_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(csv_capture, "MOST_ROWS", 30)
    assert "too long" in str(_error(tmp_path, "\n".join(["time_s,ch1_V", *ROWS])))


def test_a_line_without_end_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(csv_capture, "_BLOCK", 256)
    text = "\n".join(["time_s,ch1_V", *ROWS]) + "\n" + "1" * 2000
    assert "Line 42 does not end." in str(_error(tmp_path, text))
