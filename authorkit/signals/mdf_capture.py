"""Captures from ASAM MDF 4 (.mf4), read with asammdf.

The library is imported only here and only in a process of its own: it takes a second to load, and a damaged file can
bring down the process that reads it (seen in its version 8.8: memory written beyond its end).
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from authorkit.signals.apart import apart
from authorkit.signals.capture import MOST_ROWS, Capture, CaptureError, Channel, Samples, positions_of, too_long
from authorkit.signals.csv_words import unit_of
from authorkit.signals.mdf_blocks import check_blocks, damaged

_TIME = 1  # of the kinds of master channel: the others are angle, distance and counter


@dataclass(frozen=True)
class _Entry:
    """A channel of numbers in the file: where it is, and what it measures ('' where that is no voltage or current)."""

    name: str
    unit: str
    group: int
    index: int
    dimension: str
    factor: float


def read_mf4(path: Path, wanted: tuple[str, ...] = ()) -> Capture:
    """The channels that are `wanted` by name, or those in V or A of the first group that has any.

    Raises CaptureError, or OSError if the file cannot be opened.
    """
    check_blocks(path)
    found = apart(_outcome, path, wanted)
    if isinstance(found, Capture):
        return found
    raise found or damaged("the library that reads MDF files broke on it")


def _outcome(path: Path, wanted: tuple[str, ...]) -> Capture | CaptureError:
    """What a file holds or why it is no capture; in a process of its own, because the library may die of a bad one."""
    try:
        return read_here(path, wanted)
    except CaptureError as error:
        return error


def read_here(path: Path, wanted: tuple[str, ...]) -> Capture:
    """The same in this process, of a file whose blocks were checked."""
    try:
        with closing(_opened(path)) as file:
            entries = _chosen(list(_entries(file)), wanted)
            for group in {entry.group for entry in entries}:
                if file.groups[group].channel_group.cycles_nr > MOST_ROWS:
                    raise too_long()
            return _capture(file, entries)
    except (CaptureError, OSError):
        raise
    except Exception as error:  # the library promises nothing about what a damaged file makes it raise
        raise damaged(type(error).__name__) from error


def _opened(path: Path) -> Any:
    from asammdf import MDF

    logging.getLogger("asammdf").setLevel(logging.CRITICAL + 1)  # it would print beside our finding
    return MDF(path, process_bus_logging=False)  # type: ignore[call-arg]  # it is among its untyped arguments


def _entries(file: Any) -> Iterator[_Entry]:
    """Every channel that is measured over time and holds single numbers, in the order of the file."""
    for number, group in enumerate(file.groups):
        master = file.masters_db.get(number)
        if master is None or group.channels[master].sync_type != _TIME:
            continue
        for index, channel in enumerate(group.channels):
            if index == master or channel.component_addr or channel.data_type > 5:  # from 6 on: texts, arrays, pictures
                continue
            unit = channel.unit or (channel.conversion.unit if channel.conversion else "") or ""
            dimension, factor = unit_of(unit) or ("", 1.0)
            if dimension not in ("voltage", "current"):
                dimension = ""
            yield _Entry(channel.name, unit, number, index, dimension, factor)


def _chosen(entries: list[_Entry], wanted: tuple[str, ...]) -> list[_Entry]:
    if wanted:
        return [entries[position] for position in positions_of(wanted, [entry.name for entry in entries])]
    group = next((entry.group for entry in entries if entry.dimension), None)
    if group is None:
        names = ", ".join(f"{entry.name} [{entry.unit}]" for entry in entries[:12])
        raise CaptureError(
            "No channel of the recording is a voltage or a current.",
            names or "no channel of numbers over time",
            expected="channels in V or A, with their prefixes",
            suggestion="Record a voltage or a current, or name a channel without a unit, which is then taken as V.",
        )
    return [entry for entry in entries if entry.group == group and entry.dimension]


def _capture(file: Any, entries: list[_Entry]) -> Capture:
    """The channels at the instants that all of them share."""
    times: Samples | None = None
    channels = []
    for entry in entries:
        signal = file.get(group=entry.group, index=entry.index)
        own = np.asarray(signal.timestamps, np.float64)
        if times is not None and not np.array_equal(times, own):
            raise _apart(entries[0].name, entry.name)
        times = own
        channels.append(_channel(entry, signal.samples))
    assert times is not None
    if not np.isfinite(times).all() or not (np.diff(times) > 0).all():
        raise damaged("its time does not advance from sample to sample")
    return Capture(times, tuple(channels))


def _channel(entry: _Entry, samples: Any) -> Channel:
    """A channel in base units; one without a unit is in volts, as in other captures."""
    if entry.unit and not entry.dimension:
        raise _refused(entry, f"is in {entry.unit}, not a voltage or a current", "a channel in V or A")
    if samples.ndim != 1 or samples.dtype.kind not in "uif":
        raise _refused(entry, "holds no plain numbers", "a channel of numbers")
    values = np.asarray(samples, np.float64) * entry.factor
    if not np.isfinite(values).all():
        raise _refused(entry, "has gaps: samples that are no number", "a number in every sample")
    return Channel(entry.name, entry.dimension or "voltage", values)


def _refused(entry: _Entry, why: str, expected: str) -> CaptureError:
    found = f"{entry.name} [{entry.unit}]"
    suggestion = "Choose another channel, or record it anew."
    return CaptureError(f"Channel {entry.name} {why}.", found, expected=expected, suggestion=suggestion)


def _apart(first: str, second: str) -> CaptureError:
    return CaptureError(
        f"Channels {first} and {second} are not sampled at the same instants.",
        "different times",
        expected="channels of one group, sampled together",
        suggestion="Choose channels of one group, or export them at one common rate.",
    )
