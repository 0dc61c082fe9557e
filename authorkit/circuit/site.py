"""What a device sees around it while it is expanded: its nodes, its values, its part's ground, the state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from authorkit.circuit.netlist import BATTERY, OPEN, Change, Gap, Mode, Param, Piece, Toggle, joint, resistor
from authorkit.circuit.states import Conditions
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.wiring import Device
from authorkit.units import Quantity

# What a fault does to a resistance, where the author says nothing else: common practice.
HIGH_BY, LOW_BY = 2.0, 0.5
SHORT = 0.02  # Ω


@dataclass(frozen=True)
class Site:
    """One device in its place.

    `nodes` are the nodes of its terminals, `node_of` finds the node of any point named in its values. `ground` is the
    node of its part's own ground. `coils` maps each relay to the sense of its coil: node a, node b, pull-in, drop-out.
    `nominal` is the vehicle's nominal battery voltage.
    """

    device: Device
    name: str
    nodes: tuple[str, ...]
    ground: str
    node_of: Mapping[Point, str]
    state: Conditions
    coils: Mapping[str, tuple[str, str, float, float]]
    nominal: float = 12.6

    @property
    def word(self) -> str:
        """The word that the state has for this device: by its output, its own name, or its part."""
        device, settings = self.device, self.state.settings
        command = device.values.get("command")
        names = (f"{device.part}.{command}", str(command), f"{device.part}.{device.name}", device.name, device.part)
        return next((settings[name] for name in names if name and name in settings), "")

    def role(self, role: str) -> str:
        """The name of one of its elements, or of a node inside it."""
        return f"{self.name}:{role}"

    def text(self, key: str, default: str = "") -> str:
        """A value in words."""
        value = self.device.values.get(key, default)
        return value if isinstance(value, str) else default

    def number(self, key: str, default: float) -> float:
        """A value in base units, or the default."""
        value = self.device.values.get(key)
        return value.base if isinstance(value, Quantity) else default

    def param(self, key: str) -> tuple[Param, ...]:
        """The tolerance of a value, if it has one."""
        value = self.device.values.get(key)
        if not isinstance(value, Quantity) or value.low == value.high:
            return ()
        return (Param(self.role(key), value.base, value.low, value.high),)

    def param_name(self, key: str) -> str:
        """What an element's value scales with, or ''."""
        return next((param.name for param in self.param(key)), "")

    def rail(self, key: str) -> tuple[str, tuple[tuple[str, float], ...]]:
        """The node of a value that is a voltage or a point, and the rail that must exist for it."""
        value = self.device.values.get(key)
        if isinstance(value, Point):
            return self.node_of[value], ()
        if isinstance(value, Quantity):
            node = f"{self.device.part}#{value.value:f} {value.unit}"
            return node, ((node, value.base),)
        return BATTERY, ()

    def gap(self, because: str) -> Piece:
        """The answer when the device cannot be worked out."""
        return Piece(gaps=(Gap(self.device.part, self.device.kind, because, self.device.place),))


def resistance(site: Site, ends: tuple[str, str], key: str = "r") -> Piece:
    """A plain resistance between two nodes with the value `key`, and how it fails."""
    if not isinstance(site.device.values.get(key), Quantity):
        return site.gap(f"its '{key}' is missing")
    ohms = site.number(key, 0.0)
    if ohms <= 0:
        return site.gap(f"its '{key}' must be above zero")
    name = site.role("r")
    element = resistor(name, ends, ohms, site.param_name(key))
    return Piece((element,), params=site.param(key), modes=resistance_modes(site, name, ohms))


def resistance_modes(site: Site, name: str, ohms: float) -> tuple[Mode, ...]:
    """Open, shorted, and a value far outside its tolerance on either side."""
    what = site_words(site)
    return (
        Mode("open", f"{what} is open", Change({name: OPEN})),
        Mode("shorted", f"{what} is shorted", Change({name: SHORT})),
        Mode("high", f"{what} has twice its resistance", Change({name: ohms * HIGH_BY})),
        Mode("low", f"{what} has half its resistance", Change({name: ohms * LOW_BY})),
    )


def site_words(site: Site) -> str:
    """'The thermistor in B5', 'the coil K10 in J1'."""
    name = f" {site.device.name}" if site.device.name else ""
    return f"The {DEVICE_KINDS[site.device.kind].words}{name} in {site.device.part}"


def switch_piece(site: Site, ends: tuple[str, str], closed: bool, ohms: float) -> Piece:
    """A contact that the state has opened or closed, and its two ways of sticking."""
    name, what = site.role("contact"), site_words(site)
    return Piece(
        (joint(name, ends, ohms if closed else OPEN),),
        modes=(
            Mode("stuck-open", f"{what} never closes", Change({name: OPEN})),
            Mode("stuck-closed", f"{what} never opens", Change({name: ohms})),
            Mode(
                "worn", f"{what} has 10 Ω of contact resistance when closed", Change({name: 10.0 if closed else OPEN})
            ),
        ),
    )


def fed(site: Site, name: str, ends: tuple[str, str], volts: float) -> Toggle:
    """An output that works only while its supply (from ends[1] to ends[0]) exceeds `volts`."""
    return Toggle(site.role("fed"), volts, volts * 0.9, {name: 1.0}, {name: OPEN}, across=ends, start=True, signed=True)
