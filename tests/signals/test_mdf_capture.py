"""Captures from MDF 4, written by asammdf: the numbers it was given, channels by choice, and hostile files refused."""

from __future__ import annotations

import contextlib
import struct
import subprocess
import sys
import zlib

import numpy as np
import pytest
from asammdf import MDF, Signal

from authorkit.signals import mdf_blocks, mdf_capture
from authorkit.signals.capture import CaptureError, read_capture
from authorkit.signals.measure import measure

TIMES = np.arange(3000) / 20e3
SPEED = np.where((TIMES * 120) % 1 < 0.5, 4.8, 0.2)
CURRENT = np.round(400 + 100 * np.sin(2 * np.pi * 50 * TIMES)).astype(np.int16)
TEMPERATURE = np.full(300, 85.0)


@pytest.fixture(scope="module")
def recorded(tmp_path_factory):
    """Function from a compression (0 none, 1 deflate, 2 transposed) to a file with two groups."""
    folder = tmp_path_factory.mktemp("mdf")

    def write(compression: int):
        path = folder / f"log-{compression}.mf4"
        with MDF(version="4.10") as file:
            file.append(
                [
                    Signal(SPEED, TIMES, name="Speed", unit="V"),
                    Signal(CURRENT, TIMES, name="Coil current", unit="mA"),
                    Signal(np.arange(3000), TIMES, name="Counter"),
                    Signal(TIMES * 0 + 90, TIMES, name="Coolant", unit="°C"),
                ]
            )
            file.append([Signal(TEMPERATURE, TIMES[:300] * 10, name="Slow", unit="V")])
            file.save(path, overwrite=True, compression=compression)
        return path

    return write


def _refused(path, channels: tuple[str, ...] = ()) -> CaptureError:
    with pytest.raises(CaptureError) as caught:
        read_capture(path, channels)
    error = caught.value
    assert error.found
    assert error.expected
    assert error.suggestion.endswith((".", "?"))
    return error


@pytest.mark.parametrize("compression", [0, 1, 2])
def test_voltages_and_currents_of_the_first_group_are_read_in_base_units(recorded, compression):
    capture = read_capture(recorded(compression))
    assert [(channel.name, channel.dimension) for channel in capture.channels] == [
        ("Speed", "voltage"),
        ("Coil current", "current"),
    ]
    np.testing.assert_array_equal(capture.times, TIMES)
    np.testing.assert_array_equal(capture.channels[0].values, SPEED)
    np.testing.assert_allclose(capture.channels[1].values, CURRENT * 1e-3, rtol=1e-15)


def test_a_recording_is_measured_like_any_capture(recorded):
    values = measure(read_capture(recorded(1)), 1)
    assert values["frequency"] == pytest.approx(120, rel=1e-3)
    assert values["duty"] == pytest.approx(0.5, abs=0.01)


def test_channels_are_chosen_by_name_in_any_case_and_order(recorded):
    capture = read_capture(recorded(1), ("coil current", "Speed"))
    assert [channel.name for channel in capture.channels] == ["Coil current", "Speed"]
    assert [channel.name for channel in read_capture(recorded(1), ("Slow",)).channels] == ["Slow"]
    unitless = read_capture(recorded(1), ("Counter",)).channels[0]
    assert (unitless.dimension, unitless.values[-1]) == ("voltage", 2999)


@pytest.mark.parametrize(
    ("channels", "message", "suggestion"),
    [
        (("Sped",), "The capture has no channel 'Sped'.", "Did you mean 'Speed'?"),
        (("Coolant",), "Channel Coolant is in °C", "Choose another channel"),
        (("Speed", "Slow"), "not sampled at the same instants", "Choose channels of one group"),
    ],
)
def test_a_choice_that_cannot_be_read_says_why(recorded, channels, message, suggestion):
    error = _refused(recorded(1), channels)
    assert message in str(error)
    assert suggestion in error.suggestion


def test_a_recording_without_voltage_or_current_names_what_it_has(tmp_path):
    path = tmp_path / "a.mf4"
    with MDF(version="4.10") as file:
        file.append([Signal(TIMES, TIMES, name="Engine speed", unit="1/min")])
        file.save(path)
    assert "Engine speed [1/min]" in _refused(path).found


def test_gaps_and_texts_are_refused(tmp_path):
    path = tmp_path / "a.mf4"
    gap = SPEED.copy()
    gap[7] = np.nan
    words = np.array([b"on", b"off"] * 1500)
    with MDF(version="4.10") as file:
        file.append(
            [Signal(gap, TIMES, name="Gap", unit="V"), Signal(words, TIMES, name="Words", encoding="utf-8", unit="V")]
        )
        file.save(path)
    assert "has gaps" in str(_refused(path))
    assert "no channel 'Words'" in str(_refused(path, ("Words",)))


def test_other_versions_and_unfinished_recordings_are_named(recorded, tmp_path):
    data = recorded(0).read_bytes()
    path = tmp_path / "a.mf4"
    path.write_bytes(b"UnFinMF " + data[8:])
    assert "not finished" in str(_refused(path))
    path.write_bytes(data[:8] + b"3.30    " + data[16:])
    assert "version 3.30" in str(_refused(path))


@pytest.mark.parametrize("content", [b"", b"MDF     ", b"no recording", b"MDF     4.10    " + b"\0" * 200])
def test_a_file_of_another_kind_is_refused(tmp_path, content):
    path = tmp_path / "a.mf4"
    path.write_bytes(content)
    assert "damaged or of another kind" in str(_refused(path))


def _blocks(data: bytes, kind: bytes) -> list[int]:
    return [at for at in range(0, len(data), 8) if data[at : at + 4] == kind]


def test_blocks_that_lead_in_a_circle_are_refused(recorded, tmp_path):
    """The library would follow them for ever."""
    data = bytearray(recorded(0).read_bytes())
    at = _blocks(data, b"##CN")[0]
    struct.pack_into("<Q", data, at + 24, at)  # its next channel is itself
    path = tmp_path / "a.mf4"
    path.write_bytes(data)
    assert "in a circle" in str(_refused(path))


def test_a_zipped_block_that_unpacks_to_more_than_it_says_is_refused(recorded, tmp_path, monkeypatch):
    data = bytearray(recorded(1).read_bytes())
    at = _blocks(data, b"##DZ")[0]
    bomb = zlib.compress(b"\0" * (1 << 24), 9)
    length = 24 + 24 + len(bomb)
    start = len(data) + -len(data) % 8
    data += b"\0" * (start - len(data))
    # The same block again at the end, its content exchanged for one that unpacks to 16 MB, what it says left alone.
    said = struct.unpack_from("<2sBxIQQ", data, at + 24)
    data += struct.pack("<4s4xQQ", b"##DZ", length, 0) + struct.pack("<2sBxIQQ", *said[:4], len(bomb)) + bomb
    for position in range(0, start, 8):
        if struct.unpack_from("<Q", data, position)[0] == at:
            struct.pack_into("<Q", data, position, start)
    path = tmp_path / "a.mf4"
    path.write_bytes(data)
    assert "another number of bytes than it says" in str(_refused(path))
    monkeypatch.setattr(mdf_blocks, "MOST_BYTES", 20_000)
    assert "too large" in str(_refused(recorded(1)))


def test_a_recording_beyond_the_limits_is_refused_before_it_is_read(recorded, monkeypatch):
    monkeypatch.setattr(mdf_capture, "MOST_ROWS", 2000)
    with pytest.raises(CaptureError, match="too long"):
        mdf_capture.read_here(recorded(1), ())
    monkeypatch.setattr(mdf_blocks, "_MOST_BLOCKS", 5)
    assert "too large" in str(_refused(recorded(1)))
    monkeypatch.setattr(mdf_blocks, "MOST_BYTES", 100)
    assert "too large" in str(_refused(recorded(0)))


@pytest.mark.parametrize("compression", [0, 1])
def test_a_damaged_file_is_a_finding_or_a_capture_never_a_traceback(recorded, tmp_path, compression):
    data = recorded(compression).read_bytes()
    dice = np.random.default_rng(5)
    path = tmp_path / "a.mf4"
    for _ in range(40):
        worse = bytearray(data[: int(dice.integers(64, len(data)))] if dice.random() < 0.3 else data)
        # Among the first bytes stand the blocks that describe the others; the rest are samples.
        for at in dice.integers(64, len(worse), 6):
            worse[at] = int(dice.integers(256))
        path.write_bytes(worse)
        with contextlib.suppress(CaptureError):
            assert len(read_capture(path).times) >= 4


def test_the_library_is_loaded_only_in_the_process_that_reads(recorded):
    code = (
        "import sys; from pathlib import Path\n"
        "from authorkit.signals.capture import read_capture\n"
        "if __name__ == '__main__':\n"
        "    capture = read_capture(Path(sys.argv[1]))\n"
        "    print(len(capture.times), 'asammdf' in sys.modules, 'pandas' in sys.modules)\n"
    )
    script = recorded(1).with_name("read.py")
    script.write_text(code, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(script), str(recorded(1))], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.split() == ["3000", "False", "False"]
    assert done.stderr == ""
