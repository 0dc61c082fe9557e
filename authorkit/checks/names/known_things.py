"""What a state or a device may name: parts, connectors, fuses, outputs, splices, grounds, feeds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.subject import Subject
from authorkit.model.wiring import Device


@dataclass(frozen=True)
class Things:
    """Names of the whole book by what they may stand for.

    `settable` is what a state may set, `workers` what may work a contact, `nodes` the splices and feeds.
    """

    parts: frozenset[str]
    connectors: frozenset[str]
    fuses: frozenset[str]
    grounds: frozenset[str]
    nodes: frozenset[str]
    settable: frozenset[str]
    workers: frozenset[str]


def things_of(subject: Subject) -> Things:
    """Collect the names of the book."""
    harness = subject.harness
    devices = [device for wiring in subject.book.wirings for device in wiring.devices]
    parts = frozenset(harness.parts) | {device.part for device in devices}
    named = {device.name for device in devices if device.name}
    labels = {label for device in devices if isinstance(label := device.values.get("label"), str)}
    return Things(
        parts=parts,
        connectors=frozenset(harness.connectors),
        fuses=frozenset(harness.fuses),
        grounds=frozenset(harness.grounds),
        nodes=frozenset(harness.splices) | frozenset(harness.feeds),
        settable=parts | named | frozenset(harness.feeds) | {name for each in devices for name in _settable(each)},
        workers=parts | named | labels,
    )


def _settable(device: Device) -> Iterator[str]:
    """The commanded output of a driver (`M1.FAN`), and what works a switch (`brake pedal`)."""
    command, works_by = device.values.get("command"), device.values.get("works-by")
    if isinstance(command, str):
        yield f"{device.part}.{command}"
    if isinstance(works_by, str) and device.kind == "switch":
        yield works_by
