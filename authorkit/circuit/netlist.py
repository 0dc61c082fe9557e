"""A circuit as a solver sees it: nodes, and elements between them.

Nodes are named by text: `M1-A.23` (the harness side of a cavity), `M1-A.23/part` (the side of the part that the plug
sits on), `X12.4/far` (the other half of an in-line connector), `S10`, `G1`, `B+`, and spots inside parts (`M1#5 V`).
The body of the vehicle is CHASSIS.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from authorkit.problems import Place

CHASSIS = "0"
BATTERY = "battery"  # behind the internal resistance of the vehicle's battery
OPEN = math.inf

# What leaks from any point to the body of a sound vehicle: every node has it, so no node is without a potential.
INSULATION = 1e9  # Ω

PART_SIDE = "/part"
FAR_SIDE = "/far"


@dataclass(frozen=True)
class Param:
    """A value that differs from vehicle to vehicle: its nominal value and the limits of its tolerance."""

    name: str
    nominal: float
    low: float
    high: float


@dataclass(frozen=True)
class Element:
    """One primitive between two nodes.

    `kind` is 'R' (ohms; OPEN is no path), 'V' (volts from b to a, plus `gain` times the voltage from control b to
    control a), 'I' (amperes that flow from a through the element to b) or 'D' (anode a, cathode b; `value` is the
    saturation current in amperes, `emission` the emission coefficient). `param` names what `value` scales with.
    A resistor with `branch` has its own current unknown, so that it may be opened and its current read.
    """

    name: str
    kind: str
    a: str
    b: str
    value: float
    param: str = ""
    branch: bool = False
    control: tuple[str, str] = ("", "")
    gain: float = 0.0
    emission: float = 1.0


@dataclass(frozen=True)
class Toggle:
    """Something that changes by what the circuit does to it: a fuse, a relay contact, a lamp that warms up.

    The sensed value is the current through element `sense`, or (`sense` empty) the voltage from `across[1]` to
    `across[0]`; its amount counts, its sign only where `signed`. The toggle is thrown when it exceeds `rise`, and falls
    back below `fall`. `thrown` and `rest` give the values of elements. A `once` toggle (a fuse) never falls back.
    """

    name: str
    rise: float
    fall: float
    thrown: Mapping[str, float]
    rest: Mapping[str, float]
    sense: str = ""
    across: tuple[str, str] = ("", "")
    start: bool = False
    signed: bool = False
    once: bool = False


@dataclass(frozen=True)
class Change:
    """What a fault does: elements that get another value, elements that are added, toggles that no longer move.

    `moved` names the added element that stands for one which is put to other nodes.
    """

    values: Mapping[str, float] = field(default_factory=dict)
    added: tuple[Element, ...] = ()
    frozen: tuple[str, ...] = ()
    moved: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Mode:
    """One way in which a device fails: its word, what has happened in words, and the change."""

    word: str
    words: str
    change: Change


@dataclass(frozen=True)
class Gap:
    """A device that could not be worked out, and why: an answer, never a guess."""

    part: str
    kind: str
    because: str
    place: Place

    def __str__(self) -> str:
        """The finding as a sentence."""
        return f"The {self.kind} in {self.part} cannot be computed: {self.because}."


@dataclass(frozen=True)
class Piece:
    """What one device becomes. `rails` are supplies inside the part that it needs: node, volts."""

    elements: tuple[Element, ...] = ()
    toggles: tuple[Toggle, ...] = ()
    params: tuple[Param, ...] = ()
    modes: tuple[Mode, ...] = ()
    rails: tuple[tuple[str, float], ...] = ()
    gaps: tuple[Gap, ...] = ()


@dataclass(frozen=True)
class Netlist:
    """A whole circuit in one state.

    `points` maps what an author may point at to its node; a name that is not in it is the node of that name.
    `modes` holds the ways in which each device fails, by the device's name.
    """

    elements: tuple[Element, ...]
    toggles: tuple[Toggle, ...] = ()
    params: tuple[Param, ...] = ()
    points: Mapping[str, str] = field(default_factory=dict)
    gaps: tuple[Gap, ...] = ()
    modes: Mapping[str, tuple[Mode, ...]] = field(default_factory=dict)

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """Every node but the body, in order of appearance."""
        return nodes_of(self.elements)

    def node(self, point: str) -> str | None:
        """The node of a test point, or None where this circuit has no such point."""
        if point in self.points:
            return self.points[point]
        return point if point == CHASSIS or point in self.nodes else None

    def element(self, name: str) -> Element:
        """The element of that name. Raises KeyError."""
        return self._by_name[name]

    @cached_property
    def _by_name(self) -> Mapping[str, Element]:
        return {element.name: element for element in self.elements}


def nodes_of(elements: tuple[Element, ...]) -> tuple[str, ...]:
    """Every node but the body, in order of appearance."""
    seen = dict.fromkeys(
        node for element in elements for node in (element.a, element.b, *element.control) if node not in ("", CHASSIS)
    )
    return tuple(seen)


def changed(netlist: Netlist, change: Change) -> Netlist:
    """The netlist with a fault in it. A changed element no longer follows the tolerance it had."""
    values = change.values
    elements = tuple(
        replace(element, value=values[element.name], param="") if element.name in values else element
        for element in netlist.elements
    )
    toggles = tuple(toggle for toggle in netlist.toggles if toggle.name not in change.frozen)
    return replace(netlist, elements=(*elements, *change.added), toggles=toggles)


def resistor(name: str, ends: tuple[str, str], ohms: float, param: str = "") -> Element:
    """A resistor; what is small enough to disturb the nodal equations gets a current of its own."""
    return Element(name, "R", ends[0], ends[1], ohms, param, branch=ohms < SMALL)


def joint(name: str, ends: tuple[str, str], ohms: float) -> Element:
    """A wire, contact, fuse or switch: a resistor whose current is known and which may open."""
    return Element(name, "R", ends[0], ends[1], ohms, branch=True)


SMALL = 10.0  # Ω
