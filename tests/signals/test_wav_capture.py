"""Captures from WAV files that Python's own wave module wrote."""

from __future__ import annotations

import wave

import numpy as np
import pytest

from authorkit.signals import wav_capture
from authorkit.signals.capture import CaptureError, read_capture
from authorkit.signals.measure import measure

RATE = 8000
SINE = np.sin(2 * np.pi * 100 * np.arange(RATE // 10) / RATE) * 0.5


def _write(path, channels, width: int) -> None:
    """Full scale is 1; written by hand from the definition of linear PCM, sample by sample."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(len(channels))
        file.setsampwidth(width)
        file.setframerate(RATE)
        scale = 2 ** (8 * width - 1)
        for frame in zip(*channels, strict=True):
            for value in frame:
                whole = round(value * scale)
                data = bytes([whole + 128]) if width == 1 else whole.to_bytes(width, "little", signed=True)
                file.writeframesraw(data)


@pytest.mark.parametrize("width", [1, 2, 3, 4])
def test_every_width_of_sample_is_read(tmp_path, width):
    path = tmp_path / "tone.wav"
    _write(path, [SINE, -SINE], width)
    capture = read_capture(path)
    assert [channel.dimension for channel in capture.channels] == ["ratio", "ratio"]
    assert capture.interval == pytest.approx(1 / RATE)
    step = 1 / 2 ** (8 * width - 1)
    np.testing.assert_allclose(capture.channels[0].values, SINE, atol=step)
    np.testing.assert_allclose(capture.channels[1].values, -SINE, atol=step)


def test_a_tone_is_measured(tmp_path):
    path = tmp_path / "tone.wav"
    _write(path, [SINE], 2)
    values = measure(read_capture(path), 1)
    assert values["frequency"] == pytest.approx(100, rel=1e-3)
    assert values["rms"] == pytest.approx(0.5 / np.sqrt(2), rel=1e-3)


@pytest.mark.parametrize(
    "data", [b"", b"RIFF", b"no recording at all", b"RIFF\x24\0\0\0WAVEfmt \x10\0\0\0\x03\0\x01\0"]
)
def test_a_damaged_file_is_an_error_not_a_traceback(tmp_path, data):
    path = tmp_path / "tone.wav"
    path.write_bytes(data)
    with pytest.raises(CaptureError, match="damaged or of another kind"):
        read_capture(path)


def test_a_file_that_ends_early_is_read_as_far_as_it_goes(tmp_path):
    path = tmp_path / "tone.wav"
    _write(path, [SINE, SINE], 2)
    path.write_bytes(path.read_bytes()[:-3])
    assert len(read_capture(path).times) == len(SINE) - 1


def test_a_recording_beyond_the_limit_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(wav_capture, "MOST_ROWS", 100)
    path = tmp_path / "tone.wav"
    _write(path, [SINE], 1)
    with pytest.raises(CaptureError, match="too long"):
        read_capture(path)


def test_another_ending_is_refused(tmp_path):
    with pytest.raises(CaptureError, match="blf"):
        read_capture(tmp_path / "log.blf")
