"""A wire or a device is at a cavity of a part, but nobody says what the signal is called there."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.wiring import Connector, Limited
from authorkit.problems import Problem

RULE = "cavity-without-signal"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each cavity, at the first wire there, else the first device, on a series without a name."""
    harness = subject.harness
    for point in dict.fromkeys((*harness.wires, *harness.devices)):
        connector = harness.connector(point.owner)
        if connector is None or connector.in_line or not harness.is_known(point):
            continue
        named: set[str] = set()
        named.update(*(subject.holds(use) for use in harness.uses.get(point, ()) if use.signal))
        for words, fact in _users(point, subject):
            missing = subject.holds(fact) - named
            if missing:
                yield _problem(point, connector, f"{words} {point}{subject.on_series(missing)}", fact)
                break


def _users(point: Point, subject: Subject) -> Iterator[tuple[str, Limited]]:
    """What is at a cavity, with the beginning of a sentence about it."""
    for wire in subject.harness.wires.get(point, ()):
        yield f"The wire {wire.circuit} arrives at", wire
    for device in subject.harness.devices.get(point, ()):
        yield f"The {DEVICE_KINDS[device.kind].words} of {device.part} is at", device


def _problem(point: Point, connector: Connector, sentence: str, fact: Limited) -> Problem:
    written = f'{{{point.owner}: {{"{point.cavity}": SIGNAL NAME}}}}'
    return Problem(
        RULE,
        f"{sentence}, but no notebook says what the signal is called there.",
        fact.place,
        found=str(point),
        expected=f"a signal name for cavity '{point.cavity}'",
        suggestion=f"Add it to the connectors of {connector.part}: {written}.",
    )
