"""From the book's facts to block drawings: the buses, the high-voltage path, each system."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from authorkit.circuit.harness import fuse_id
from authorkit.circuit.part_links import PartLink, grounds_by_part, part_links
from authorkit.circuit.view import circuit_of
from authorkit.drawing.block_plan import Block, BlockPlan, Link, Rail
from authorkit.manual.scope import Shared
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.wiring import Network, Part, Wire, Wiring, applies
from authorkit.units import Quantity, show

_SUPPLIES = ("fuse box", "battery")


@dataclass(frozen=True)
class Whole:
    """The whole vehicle on one series: its wiring, what can carry high voltage, what feeds and grounds each part."""

    shared: Shared
    series: str
    wiring: Wiring
    fed: Mapping[str, tuple[str, ...]]
    grounds: Mapping[str, tuple[str, ...]]

    @property
    def class_b(self) -> Mapping[Point, float]:
        """The points that can carry voltage of class B, with that voltage in volts."""
        return self.shared.class_b[self.series]


def whole_of(shared: Shared, series: str) -> Whole:
    """Everything that the block drawings of one series are made from."""
    wiring = shared.wirings[series]
    kinds = _kinds(shared)
    fed: dict[str, list[str]] = {}
    for link in part_links(wiring):
        supplies = [name for name in link.ends if kinds.get(name) in _SUPPLIES]
        if len(supplies) == 1:
            other = link.ends[1 - link.ends.index(supplies[0])]
            fed.setdefault(other, []).extend(_supply_words(link, supplies[0], wiring))
    feeds = {name: tuple(dict.fromkeys(words)) for name, words in fed.items()}
    return Whole(shared, series, wiring, feeds, grounds_by_part(wiring))


def _kinds(shared: Shared) -> dict[str, str]:
    return {name: part.kind for name in shared.harness.parts if (part := shared.harness.part(name))}


def _supply_words(link: PartLink, supply: str, wiring: Wiring) -> list[str]:
    """The fuses at the supply's end of a link, or the supply itself."""
    ends = {end for wire in link.wires for end in wire.ends}
    fuses = [device for device in wiring.devices if device.kind == "fuse" and device.part == supply]
    feeding = [fuse for fuse in fuses if set(fuse.terminals) & ends]
    return [_fuse_words(fuse_id(fuse), fuse.values.get("rating")) for fuse in feeding] or [supply]


def _fuse_words(name: str, rating: object) -> str:
    return f"{name}\u00a0{show(rating)}" if isinstance(rating, Quantity) else name


def bus_plan(whole: Whole) -> BlockPlan:
    """Every bus with the modules on it."""
    networks = _networks(whole)
    members = {name for network in networks for name in network.members}
    parts = _parts(whole, members)
    return BlockPlan(tuple(_with_duty(part) for part in parts), rails=_rails(networks, {part.id for part in parts}))


def _networks(whole: Whole) -> list[Network]:
    found = {network.id: network for network in whole.wiring.networks if applies(network.series, whole.series)}
    return list(found.values())


def _rails(networks: Iterable[Network], members: Iterable[str]) -> tuple[Rail, ...]:
    members = frozenset(members)
    rails = [
        Rail(network.id, _rail_label(network), tuple(name for name in network.members if name in members))
        for network in networks
    ]
    return tuple(rail for rail in rails if rail.members)


def _rail_label(network: Network) -> str:
    return ", ".join(filter(None, (f"{network.id} {network.name}".strip(), network.speed)))


def _parts(whole: Whole, names: Iterable[str]) -> list[Part]:
    """The parts of these names that this series has, in the order of the book."""
    wanted = frozenset(names) & {part.id for part in whole.wiring.parts}
    return [part for name in whole.shared.harness.parts if name in wanted and (part := whole.shared.harness.part(name))]


def _with_duty(part: Part) -> Block:
    duty = ", ".join(part.in_charge_of)
    return Block(part.id, part.name, (duty,) if duty else (), part.kind == "module")


def high_voltage_plan(whole: Whole) -> BlockPlan:
    """Every part on a wire that can carry voltage of class B, from the source on."""
    links = [link for each in part_links(whole.wiring) for link in _links(each, whole) if link.strong]
    parts = _parts(whole, {name for link in links for name in link.ends})
    sources = {device.part for device in whole.wiring.devices if device.kind == "pack"}
    blocks = tuple(
        Block(part.id, part.name, _volts_of(part.id, whole) if part.id in sources else (), part.kind == "module")
        for part in parts
    )
    roots = tuple(block.id for block in blocks if block.id in sources)
    return BlockPlan(
        blocks, tuple(sorted(links, key=lambda link: link.key)), roots=roots or tuple(block.id for block in blocks[:1])
    )


def _links(link: PartLink, whole: Whole) -> Iterator[Link]:
    """A link, or two of them if some of its wires can carry high voltage and some cannot."""
    for strong in (False, True):
        circuits = dict.fromkeys(wire.circuit for wire in link.wires if _is_class_b(wire, whole) == strong)
        if circuits:
            yield Link(link.ends, tuple(circuits), strong)


def _is_class_b(wire: Wire, whole: Whole) -> bool:
    return any(end in whole.class_b for end in wire.ends)


def _volts_of(part: str, whole: Whole) -> tuple[str, ...]:
    """The highest voltage at the pins of a source, as a line."""
    plugs = {connector.id for connector in whole.wiring.connectors if connector.part == part}
    highest = max((volts for point, volts in whole.class_b.items() if point.owner in plugs), default=0.0)
    return (f"{highest:.0f}\u202fV d.c.",) if highest else ()


def system_plan(whole: Whole, chapters: Iterable[Chapter], modules: Iterable[str] = ()) -> BlockPlan:
    """The parts of a system's circuits and the `modules` that the author gives to it, these at the left; supplies,
    grounds and buses are lines in the blocks.

    A system that consists of nothing but buses has rails instead of links.
    """
    here = [chapter for chapter in chapters if applies(chapter.series, whole.series)]
    wiring = _joined([circuit_of(whole.shared.book, chapter, whole.series) for chapter in here])
    kinds = _kinds(whole.shared)
    on_bus = [point for device in wiring.devices if device.kind == "transceiver" for point in device.terminals]
    found = [link for link in part_links(wiring, on_bus) if not any(kinds.get(name) in _SUPPLIES for name in link.ends)]
    links = tuple(sorted((link for each in found for link in _links(each, whole)), key=lambda link: link.key))
    parts = _parts(whole, {*modules, *(part.id for part in wiring.parts if part.kind not in _SUPPLIES)})
    rails = _rails(_networks(whole), {part.id for part in parts})
    blocks = tuple(_system_block(part, rails if links else (), whole) for part in parts)
    roots = tuple(part.id for part in parts if part.kind == "module")
    return BlockPlan(blocks, links, () if links else rails, roots)


def _joined(circuits: Iterable[Wiring]) -> Wiring:
    """Several circuits as one, each fact once: a fact stands at one place of the book."""
    joined: dict[str, dict[object, Any]] = {field.name: {} for field in fields(Wiring)}
    for circuit in circuits:
        for name, records in joined.items():
            for record in getattr(circuit, name):
                records.setdefault((record.place, getattr(record, "ends", getattr(record, "id", ""))), record)
    return Wiring(**{name: tuple(records.values()) for name, records in joined.items()})


def _system_block(part: Part, rails: Iterable[Rail], whole: Whole) -> Block:
    block = _with_duty(part)
    buses = [rail.id for rail in rails if part.id in rail.members]
    said = (
        ("Fed by", whole.fed.get(part.id, ())),
        ("Ground", whole.grounds.get(part.id, ())),
        ("On", buses),
    )
    lines = tuple(f"{word} {', '.join(names)}" for word, names in said if names)
    return Block(block.id, block.name, (*block.lines, *lines), block.module)
