"""Two notebooks give one device different values."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterator, Mapping

from authorkit.checks.subject import Subject
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.wiring import Device, Value
from authorkit.problems import Problem
from authorkit.units import Quantity, as_typed

RULE = "device-contradicts"

# Kind, part and terminals.
Key = tuple[str, str, tuple[Point, ...]]


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each value in which a later notebook differs from an earlier one.

    Several devices of one kind between the same terminals in one notebook are in parallel; another notebook must then
    agree with one of them.
    """
    for devices in _by_key(subject).values():
        if len({device.place.file for device in devices}) > 1:
            yield from _contradictions(devices, subject)


def _by_key(subject: Subject) -> Mapping[Key, list[Device]]:
    found: dict[Key, list[Device]] = defaultdict(list)
    for wiring in subject.book.wirings:
        for device in wiring.devices:
            found[_key(device)].append(device)
    return found


def _key(device: Device) -> Key:
    """Two-pole devices without polarity may be written either way round."""
    kind = DEVICE_KINDS.get(device.kind)
    turns = kind is not None and kind.terminals == ("a", "b") and not kind.more_terminals
    return device.kind, device.part, tuple(sorted(device.terminals)) if turns else device.terminals


def _contradictions(devices: list[Device], subject: Subject) -> Iterator[Problem]:
    reported: set[Hashable] = set()
    for number, later in enumerate(devices):
        others = [
            device
            for device in devices[:number]
            if device.place.file != later.place.file and subject.holds(device) & subject.holds(later)
        ]
        if not others or any(_difference(device, later) is None for device in others):
            continue
        name = _difference(others[0], later)
        assert name is not None  # every other one differs
        said = (name, _comparable(later.values[name]))
        if said not in reported:
            reported.add(said)
            yield _problem(others[0], later, name)


def _difference(first: Device, second: Device) -> str | None:
    """The first value that both give and that differs; a value that one leaves out contradicts nothing."""
    for name in first.values:
        if name in second.values and _comparable(first.values[name]) != _comparable(second.values[name]):
            return name
    return None


def _comparable(value: Value) -> Hashable:
    """A value by what it means: '2.05 kΩ' equals '2050 Ω'."""
    if isinstance(value, Quantity):
        return value.low, value.high
    if isinstance(value, tuple):
        return tuple(tuple(_comparable(each) for each in pair) for pair in value)
    return value


def _shown(value: Value) -> str:
    if isinstance(value, Quantity):
        return as_typed(value)
    if isinstance(value, tuple):
        return ", ".join(f"{_shown(key)}: {_shown(number)}" for key, number in value)
    return str(value)


def _problem(earlier: Device, later: Device, name: str) -> Problem:
    kind = DEVICE_KINDS[later.kind].words
    points = " and ".join(str(point) for point in later.terminals)
    found, expected = _shown(later.values[name]), _shown(earlier.values[name])
    return Problem(
        RULE,
        f"The {kind} at {points} in {later.part} has {name} {found} here and {expected} in {earlier.place}.",
        later.place,
        found=found,
        expected=expected,
        suggestion="Describe the device once, in the vehicle notebook if several chapters use it.",
        also=(earlier.place,),
    )
