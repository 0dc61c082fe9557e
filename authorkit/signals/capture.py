"""A capture: what an oscilloscope or logger recorded, as samples over time, read from a file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
import numpy.typing as npt

from authorkit.problems.closest import closest, did_you_mean

Samples = npt.NDArray[np.float64]

# Samples a channel: beyond this a capture is refused, so that memory and time stay bounded.
MOST_ROWS = 10_000_000
FEWEST_ROWS = 4
# In base units: far beyond any signal, and near enough to compute with. Steps are in s.
LARGEST = 1e12
SHORTEST_STEP = 1e-15
_MOST_NAMES = 20  # of channels in a finding


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

    def __reduce__(self) -> tuple[Callable[[], CaptureError], tuple[()]]:
        """So that it can come from another process with all it says."""
        more = partial(CaptureError, expected=self.expected, suggestion=self.suggestion, line=self.line)
        return partial(more, str(self), self.found), ()


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


def read_capture(path: Path, channels: tuple[str, ...] = ()) -> Capture:
    """The capture in a file, by the ending of its name; only the named `channels`, in their order, if any are named.

    Raises CaptureError, or OSError if it cannot be opened.
    """
    # Here, because each reader itself needs the names above.
    from authorkit.signals.csv_capture import read_csv
    from authorkit.signals.mdf_capture import read_mf4
    from authorkit.signals.wav_capture import read_wav

    ending = path.suffix.lower()
    if ending == ".mf4":
        return checked(read_mf4(path, channels))
    readers = {".csv": read_csv, ".txt": read_csv, ".tsv": read_csv, ".wav": read_wav}
    reader = readers.get(ending)
    if reader is None:
        shown = path.suffix or "no ending"
        message = f"Captures are not read from files with {'the ending ' if path.suffix else ''}{shown}."
        expected = f"one of {', '.join((*readers, '.mf4'))}"
        raise CaptureError(message, path.name, expected=expected, suggestion="Export the capture as CSV.")
    return checked(_with(reader(path), channels))


def _with(capture: Capture, names: tuple[str, ...]) -> Capture:
    """The capture with only the named channels; all of them if none is named."""
    if not names:
        return capture
    positions = positions_of(names, [channel.name for channel in capture.channels])
    return Capture(capture.times, tuple(capture.channels[position] for position in positions))


def positions_of(wanted: tuple[str, ...], names: list[str]) -> list[int]:
    """Where each wanted channel stands among `names`, whatever its case; the first of several of one name.

    Raises CaptureError for one that is not there.
    """
    folded = [name.casefold() for name in names]
    for name in wanted:
        if name.casefold() not in folded:
            there = ", ".join(names[:_MOST_NAMES]) + (" and others" if len(names) > _MOST_NAMES else "")
            hint = did_you_mean(closest(name, names)) or "Name one of the channels that are there."
            raise CaptureError(
                f"The capture has no channel '{name}'.", name, expected=there or "no channel at all", suggestion=hint
            )
    return [folded.index(name.casefold()) for name in wanted]


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
