"""Captures from WAV files (linear PCM of 8, 16, 24 or 32 bit), as sound cards and some adapters write them."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np

from authorkit.signals.capture import MOST_ROWS, Capture, CaptureError, Channel, Samples, too_long

# Bytes a sample → the value of full scale. Samples of 8 bit are unsigned with 128 in the middle, the others signed.
_FULL_SCALE = {1: 2.0**7, 2: 2.0**15, 3: 2.0**23, 4: 2.0**31}


def read_wav(path: Path) -> Capture:
    """The channels as parts of full scale: a WAV file knows no volts. Raises CaptureError."""
    try:
        with path.open("rb") as file, wave.open(file) as recording:
            form = recording.getparams()
            if form.nframes > MOST_ROWS:
                raise too_long()
            data = recording.readframes(form.nframes)
    except (wave.Error, EOFError, RuntimeError) as error:
        raise _unreadable(str(error) or "the file ends too early") from error
    if form.sampwidth not in _FULL_SCALE or form.framerate <= 0:
        raise _unreadable(f"{8 * form.sampwidth} bit at {form.framerate} samples a second")
    frame = form.sampwidth * form.nchannels
    values = _decoded(data[: len(data) // frame * frame], form.sampwidth).reshape(-1, form.nchannels)
    times = np.arange(len(values), dtype=np.float64) / form.framerate
    columns = (np.ascontiguousarray(values[:, number]) for number in range(form.nchannels))
    return Capture(times, tuple(Channel(f"CH{number}", "ratio", column) for number, column in enumerate(columns, 1)))


def _decoded(data: bytes, width: int) -> Samples:
    """Little-endian samples as parts of full scale, −1 to 1."""
    if width == 1:
        whole = np.frombuffer(data, np.uint8).astype(np.float64) - 128
    elif width == 3:
        # The three bytes become the upper ones of four, so that the sign comes out right.
        padded = np.zeros((len(data) // 3, 4), np.uint8)
        padded[:, 1:] = np.frombuffer(data, np.uint8).reshape(-1, 3)
        whole = padded.view("<i4").reshape(-1).astype(np.float64) / 256
    else:
        whole = np.frombuffer(data, f"<i{width}").astype(np.float64)
    return whole / _FULL_SCALE[width]


def _unreadable(reason: str) -> CaptureError:
    return CaptureError(
        f"The WAV file is damaged or of another kind: {reason}.",
        reason,
        expected="linear PCM of 8, 16, 24 or 32 bit",
        suggestion="Export the capture as WAV with 16 bit, or as CSV.",
    )
