"""The harness: parts, connectors, cavities, wires, splices, grounds, feeds, networks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

from authorkit.model.point import Point
from authorkit.model.wire_colour import WireColour
from authorkit.problems import Place
from authorkit.units import Quantity

# A tuple of series names; empty means "every series of the vehicle".
Series = tuple[str, ...]


@dataclass(frozen=True)
class Part:
    """A module, component, relay, fuse box, battery: anything that a connector is plugged into.

    `kind` is one of PART_KINDS. `in_charge_of` says what a module looks after. `hazards` name entries of
    `model.hazard.HAZARDS` (a fan that may start, hot coolant ...). `side` optionally fixes where drawings put it.
    """

    id: str
    name: str
    kind: str
    place: Place
    location: str = ""
    in_charge_of: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    side: str = ""
    note: str = ""
    series: Series = ()


PART_KINDS = ("module", "component", "relay", "fuse box", "battery", "ground box", "tool")


@dataclass(frozen=True)
class Connector:
    """A plug with its cavities.

    `part` is the id of the part it plugs into; an in-line connector joins two harnesses and has `part == ""`.
    `rows` is the cavity layout seen from `view` ('terminal side' or 'wire side'): a row is a tuple of cavity names,
    "" is a hole in the grid. `shape` is 'rectangular' or 'round'. `access` is the time to reach and unplug it. `key`
    and `lock` say where the locating key and the locking tab are, `large` are the cavities for larger terminals.
    """

    id: str
    part: str
    place: Place
    rows: tuple[tuple[str, ...], ...] = ()
    view: str = "wire side"
    shape: str = "rectangular"
    colour: str = ""
    location: str = ""
    access: Quantity | None = None
    key: str = ""
    sealed: bool = False
    back_probe: bool = True
    colour_change: tuple[str, ...] = ()
    series: Series = ()
    lock: str = ""
    large: tuple[str, ...] = ()

    @property
    def in_line(self) -> bool:
        """True if it joins two harnesses instead of plugging into a part."""
        return not self.part

    @property
    def cavities(self) -> tuple[str, ...]:
        """Every cavity of the layout, row by row."""
        return tuple(cavity for row in self.rows for cavity in row if cavity)


@dataclass(frozen=True)
class CavityUse:
    """What one place in the book says about one cavity of a part: the signal name AT THIS END."""

    point: Point
    part: str
    signal: str
    place: Place
    series: Series = ()


@dataclass(frozen=True)
class Wire:
    """One section of wire between two points; sections that follow each other share the circuit name.

    `size` is an area as written ('0.5 mm²' or '18 AWG'; never converted silently). `chain` numbers the written line
    it came from, `position` its place in that line.
    """

    circuit: str
    colour: WireColour
    size: Quantity
    ends: tuple[Point, Point]
    place: Place
    length: Quantity | None = None
    series: Series = ()
    chain: int = 0
    position: int = 0


@dataclass(frozen=True)
class Device:
    """One device inside a part: `{thermistor: [B5.1, B5.2], r25: 2.05 kΩ ± 2 %}`.

    `kind` is a key of `device_kinds.DEVICE_KINDS`; `terminals` follow the order of the kind's terminal names (a kind
    with `more_terminals` may have further ones). `values` holds what the author wrote, parsed by the kind's table:
    Quantity for a dimension, Point for a node, str for text and choices, a tuple of pairs for a table.
    """

    kind: str
    part: str
    terminals: tuple[Point, ...]
    place: Place
    values: Mapping[str, Value] = field(default_factory=dict)
    name: str = ""
    series: Series = ()


Value = Quantity | Point | str | tuple[tuple[Quantity, Quantity], ...] | tuple[tuple[str, Quantity], ...]


@dataclass(frozen=True)
class Splice:
    """A permanent join of several wires in the harness."""

    id: str
    place: Place
    location: str = ""
    series: Series = ()


@dataclass(frozen=True)
class Ground:
    """A ground point: where the eyelet is bolted on."""

    id: str
    location: str
    place: Place
    bolt: str = ""
    torque: Quantity | None = None
    access: Quantity | None = None
    series: Series = ()


@dataclass(frozen=True)
class Feed:
    """A supply that the drawings start from.

    `volts` is None for a feed at battery voltage. `live` says when: 'always', 'key on', 'crank', 'high voltage on'.
    `current` is 'd.c.' or 'a.c.'.
    """

    id: str
    name: str
    place: Place
    volts: Quantity | None = None
    live: str = "always"
    current: str = "d.c."
    series: Series = ()


@dataclass(frozen=True)
class Network:
    """A bus: its kind ('two-wire bus', 'one-wire bus'), the two circuit names, and the modules on it."""

    id: str
    name: str
    kind: str
    place: Place
    members: tuple[str, ...] = ()
    speed: str = ""
    series: Series = ()


@dataclass(frozen=True)
class TwistedPair:
    """Two circuit names that are twisted together."""

    circuits: tuple[str, str]
    place: Place
    series: Series = ()


@dataclass(frozen=True)
class Shield:
    """A screen around some circuits, with the circuit name of its drain wire ("" if it has none)."""

    circuits: tuple[str, ...]
    drain: str
    place: Place
    series: Series = ()


@dataclass(frozen=True)
class Wiring:
    """Everything that one notebook says about the harness."""

    parts: tuple[Part, ...] = ()
    connectors: tuple[Connector, ...] = ()
    cavities: tuple[CavityUse, ...] = ()
    wires: tuple[Wire, ...] = ()
    devices: tuple[Device, ...] = ()
    splices: tuple[Splice, ...] = ()
    grounds: tuple[Ground, ...] = ()
    feeds: tuple[Feed, ...] = ()
    networks: tuple[Network, ...] = ()
    pairs: tuple[TwistedPair, ...] = ()
    shields: tuple[Shield, ...] = ()


class Limited(Protocol):
    """A fact that may be limited to some series."""

    @property
    def place(self) -> Place:
        """Where it stands."""
        ...

    @property
    def series(self) -> Series:
        """The series it names itself."""
        ...


def applies(series: Series, to: str) -> bool:
    """Whether a fact limited to `series` holds on series `to` (an unlimited fact holds on all)."""
    return not series or to in series
