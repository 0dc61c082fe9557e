"""A capture: what an oscilloscope or logger recorded, as samples over time, read from a file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

Samples = npt.NDArray[np.float64]

# Samples a channel: beyond this a capture is refused, so that memory and time stay bounded.
MOST_ROWS = 10_000_000
FEWEST_ROWS = 4
# In base units: far beyond any signal, and near enough to compute with. Steps are in s.
LARGEST = 1e12
SHORTEST_STEP = 1e-15


class CaptureError(ValueError):
    """A file that is no capture. `line` counts from 1 and is 0 where the file as a whole is meant.

    `found`, `expected` and `suggestion` go into the finding.
    """

    def __init__(self, message: str, found: str, *, expected: str, suggestion: str, line: int = 0) -> None:
        """Keep what stood there, what may stand there, and what to do."""
        super().__init__(message)
        self.found = found
        self.expected = expected
        self.suggestion = suggestion
        self.line = line


@dataclass(frozen=True, eq=False)
class Channel:
    """One trace of a capture: its values in base units of `dimension`.

    That is 'voltage', 'current', or 'ratio' where a file gives parts of full scale only.
    """

    name: str
    dimension: str
    values: Samples


@dataclass(frozen=True, eq=False)
class Capture:
    """Samples of one or more channels at common instants (s, strictly rising)."""

    times: Samples
    channels: tuple[Channel, ...]

    @property
    def interval(self) -> float:
        """The mean time between two samples, in s."""
        return float(self.times[-1] - self.times[0]) / (len(self.times) - 1)


def read_capture(path: Path) -> Capture:
    """The capture in a file, by the ending of its name. Raises CaptureError, or OSError if it cannot be opened."""
    # Here, because each reader itself needs the names above.
    from authorkit.signals.csv_capture import read_csv
    from authorkit.signals.wav_capture import read_wav

    readers = {".csv": read_csv, ".txt": read_csv, ".tsv": read_csv, ".wav": read_wav}
    reader = readers.get(path.suffix.lower())
    if reader is None:
        ending = path.suffix or "no ending"
        message = f"Captures are not read from files with {'the ending ' if path.suffix else ''}{ending}."
        raise CaptureError(
            message, path.name, expected=f"one of {', '.join(readers)}", suggestion="Export the capture as CSV."
        )
    return checked(reader(path))


def checked(capture: Capture) -> Capture:
    """The capture, if it has samples enough to say anything. Raises CaptureError."""
    rows = len(capture.times)
    if rows < FEWEST_ROWS:
        raise CaptureError(
            "The capture has too few samples.",
            f"{rows} rows of numbers",
            expected=f"at least {FEWEST_ROWS}",
            suggestion="Export the whole capture, with its rows of samples.",
        )
    if not SHORTEST_STEP <= float(np.diff(capture.times).min()) <= float(np.abs(capture.times).max()) <= LARGEST:
        raise CaptureError(
            "The times of the capture are not those of a signal.",
            f"one sample every {capture.interval:.3g} s",
            expected=f"samples at least {SHORTEST_STEP:g} s apart",
            suggestion="Correct the unit of time, or the time between two samples.",
        )
    for channel in capture.channels:
        largest = float(np.abs(channel.values).max())
        if largest > LARGEST:
            raise CaptureError(
                f"Channel {channel.name} holds a value that no signal has.",
                f"{largest:.3g}",
                expected=f"values up to {LARGEST:g}",
                suggestion="Correct the value, or the unit of the channel.",
            )
    return capture


def too_long() -> CaptureError:
    """The finding about a file beyond MOST_ROWS."""
    return CaptureError(
        "The capture is too long.",
        f"more than {MOST_ROWS:,} rows",
        expected=f"at most {MOST_ROWS:,} rows",
        suggestion="Export only the part that shows the signal, or every tenth sample.",
    )
