"""A state, a device, a twisted pair or the high-voltage entry names something that nothing describes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.names.known_things import Things, things_of
from authorkit.checks.names.states import states_of
from authorkit.checks.nearest import nearest
from authorkit.checks.subject import Subject
from authorkit.model.point import Point
from authorkit.model.specification import State
from authorkit.model.wiring import Device, Wiring
from authorkit.problems import Place, Problem

RULE = "part-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such name, where it is written."""
    things = things_of(subject)
    for chapter in subject.book.chapters:
        for state in states_of(chapter):
            for role, name in _of_state(state, things):
                yield _unknown(role, name, state.place)
    for wiring in subject.book.wirings:
        for device in wiring.devices:
            for role, name in _of_device(device, wiring, things):
                yield _unknown(role, name, device.place)
        yield from _of_bundles(wiring, subject.names.circuits)
    disconnect = _Role("the service disconnect", "a part", things.parts)
    for entry in subject.book.vehicle.high_voltage:
        if entry.disconnect not in things.parts:
            yield _unknown(disconnect, entry.disconnect, entry.place)


@dataclass(frozen=True)
class _Role:
    """What a name stands for, what it may be, and the names that may stand there."""

    words: str
    expected: str
    choices: frozenset[str]


def _of_state(state: State, things: Things) -> Iterator[tuple[_Role, str]]:
    """What a state unplugs, pulls and sets."""
    unplugged = _Role("what is unplugged", "a connector", things.connectors | things.parts)
    pulled = _Role("what is pulled", "a fuse or a relay", things.fuses | things.parts)
    is_set = _Role("what is set", "a part, a switch, or an output written MODULE.OUTPUT", things.settable)
    named = [(unplugged, state.unplugged), (pulled, state.pulled), (is_set, [name for name, _ in state.settings])]
    for role, names in named:
        yield from ((role, name) for name in names if name not in role.choices)


def _of_device(device: Device, wiring: Wiring, things: Things) -> Iterator[tuple[_Role, str]]:
    """What works a contact, and the point through which a module reaches its ground."""
    works_by, through = device.values.get("works-by"), device.values.get("through")
    if device.kind in ("contact", "contactor") and isinstance(works_by, str) and works_by not in things.workers:
        yield _Role(f"what works the {device.kind}", "a relay or coil", things.workers), works_by
    if isinstance(through, Point) and not through.is_cavity and not _is_declared(through, device, wiring, things):
        yield _Role("the way to ground", "a cavity or ground point", things.grounds), through.owner


def _of_bundles(wiring: Wiring, circuits: frozenset[str]) -> Iterator[Problem]:
    """Circuits that are twisted together or screened."""
    pair = _Role("a wire of a twisted pair", "a circuit name", circuits)
    shield = _Role("a wire of a shield", "a circuit name", circuits)
    drain = _Role("the drain wire of a shield", "a circuit name", circuits)
    named = [(pair, name, twisted.place) for twisted in wiring.pairs for name in twisted.circuits]
    named += [(shield, name, screen.place) for screen in wiring.shields for name in screen.circuits]
    named += [(drain, screen.drain, screen.place) for screen in wiring.shields if screen.drain]
    for role, name, place in named:
        if name not in circuits:
            yield _unknown(role, name, place)


def _is_declared(point: Point, device: Device, wiring: Wiring, things: Things) -> bool:
    """Whether a name without a cavity is a ground point, a splice, a feed, or a spot that its part uses elsewhere."""
    if point.owner in things.grounds or point.owner in things.nodes:
        return True
    return any(point in other.terminals for other in wiring.devices if other.part == device.part)


def _unknown(role: _Role, name: str, place: Place) -> Problem:
    return Problem(
        RULE,
        f"Nothing in the book is called '{name}', which stands here as {role.words}.",
        place,
        found=name,
        expected=role.expected,
        suggestion=nearest(name, role.choices, f"Describe '{name}', or correct the name."),
    )
