"""What a capture says in short: every measured value, kept in memory so that each file is read once in a run."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from authorkit.signals.capture import CaptureError, read_capture
from authorkit.signals.measure import measure


@dataclass(frozen=True)
class ChannelSummary:
    """One channel: its name, what it measures ('voltage', 'current', 'ratio'), its measured values in base units."""

    name: str
    dimension: str
    values: Mapping[str, float]


@dataclass(frozen=True)
class Summary:
    """A capture in short, or the error that makes it none. `digest` stands for the bytes of the file."""

    digest: str
    channels: tuple[ChannelSummary, ...] = ()
    error: CaptureError | None = None


def summary_of(path: Path, channels: tuple[str, ...] = ()) -> Summary:
    """The summary of a file, or of some of its channels by name. Raises OSError if it cannot be opened."""
    state = path.stat()
    return _summary(path, channels, state.st_mtime_ns, state.st_size)


@lru_cache(maxsize=1024)
def _summary(path: Path, names: tuple[str, ...], changed: int, size: int) -> Summary:
    """`changed` and `size` are there so that a file that was saved anew is read anew."""
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    try:
        capture = read_capture(path, names)
    except CaptureError as error:
        return Summary(digest, error=error)
    channels = (
        ChannelSummary(channel.name, channel.dimension, measure(capture, number))
        for number, channel in enumerate(capture.channels, 1)
    )
    return Summary(digest, tuple(channels))
