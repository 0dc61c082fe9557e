"""`authorkit measure FILE`: what a capture shows, in numbers."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.problems import Place, Problem
from authorkit.problems.show import printable, show_problem
from authorkit.signals.capture import Capture, CaptureError, read_capture
from authorkit.signals.measure import MEASUREMENTS, dimension_of, measure, show_measured
from authorkit.units import format_value

# The base unit of each dimension that the table of measurements has; plain numbers have none.
_BASE_UNITS = {
    "voltage": "V",
    "current": "A",
    "time": "s",
    "frequency": "Hz",
    "ratio": "1",
    "angle": "rad",
    "count": "1",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `measure`."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a capture: CSV, WAV or MDF 4")
    parser.add_argument("--channel", metavar="N", help="only this channel, by number from 1 or by name (default: all)")
    parser.add_argument("--json", action="store_true", help="as one JSON document, in base units")


def run(options: argparse.Namespace) -> int:
    """Print the measured values; 1 if the file is no capture, 2 if there is no such channel."""
    number = _number(options.channel)
    named = (options.channel,) if options.channel and number is None else ()
    try:
        capture = read_capture(options.file, named)
    except CaptureError as error:
        sys.stderr.write(printable(_refusal(options.file, error)) + "\n")
        return FINDINGS
    there = len(capture.channels)
    if number is not None and not 1 <= number <= there:
        print(f"authorkit: there is no channel {number}; there are 1 to {there}", file=sys.stderr)
        return COULD_NOT_RUN
    numbers = [number] if number else list(range(1, there + 1))
    text = _document(capture, numbers) if options.json else "\n".join(_lines(capture, numbers))
    sys.stdout.write(printable(text + "\n"))
    return CLEAN


def _number(channel: str | None) -> int | None:
    """The number of a channel; None where none is given, or a name."""
    try:
        return None if channel is None else int(channel)
    except ValueError:
        return None


def _refusal(file: Path, error: CaptureError) -> str:
    """The error as a finding of the rule that a check would report it under."""
    place = Place(file.as_posix(), 0, error.line)
    problem = Problem("capture-malformed", str(error), place, error.found, error.expected, error.suggestion)
    return show_problem(problem, lambda _: None)


def _lines(capture: Capture, numbers: list[int]) -> Iterator[str]:
    """A heading for each channel, then one line a measurement: name, value, words."""
    rows = len(capture.times)
    lasts = format_value(float(capture.times[-1] - capture.times[0]), "time", 4)
    yield f"{rows} samples over {lasts}, one every {format_value(capture.interval, 'time', 4)}"
    width = max(map(len, MEASUREMENTS)) + 2
    for number in numbers:
        channel = capture.channels[number - 1]
        yield f"\nChannel {number} ({channel.name})"
        for name, value in measure(capture, number).items():
            shown = show_measured(name, value, channel.dimension)
            yield f"  {name:<{width}}{shown:<12}{MEASUREMENTS[name].words}"


def _document(capture: Capture, numbers: list[int]) -> str:
    """Values in base units with their unit; what a signal does not have is null."""
    document = {
        "samples": len(capture.times),
        "interval": capture.interval,
        "channels": [_channel(capture, number) for number in numbers],
    }
    return json.dumps(document, indent=1, ensure_ascii=False)


def _channel(capture: Capture, number: int) -> dict[str, object]:
    channel = capture.channels[number - 1]
    values = measure(capture, number)
    measured = {
        name: {"value": values.get(name), "unit": _BASE_UNITS[dimension_of(name, channel.dimension)]}
        for name in MEASUREMENTS
    }
    return {"number": number, "name": channel.name, "measured": measured}
