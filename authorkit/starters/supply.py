"""Feeds with a fuse: a free cavity of a fuse box, and a module's own supply."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.circuit.harness import fuse_id
from authorkit.model.point import Point
from authorkit.model.voltage_limits import is_class_b
from authorkit.model.wiring import Device, Feed
from authorkit.starters.additions import Additions
from authorkit.starters.cavities import NewBody, claim, free_cavities, new_connector, take_cavities
from authorkit.starters.error import StarterError
from authorkit.starters.paths import end_of, path_to
from authorkit.starters.surroundings import Surroundings

_BOX = "fuse box"
_SUPPLY = "SUPPLY"


@dataclass(frozen=True)
class FuseWanted:
    """A fuse that a kind of circuit needs: when its feed is live ('always', 'key on'), and its rating."""

    live: str
    rating: str


@dataclass(frozen=True)
class Fused:
    """A fused feed: the number of the fuse, the cavity of its output, the fuse box, and the feed before it."""

    fuse: str
    output: Point
    box: str
    feed: str


@dataclass(frozen=True)
class Supply:
    """A module's supply: its cavity, the circuit name of the wire there, and the fuse before it."""

    cavity: Point
    wire: str
    fused: Fused


def take_fuses(around: Surroundings, additions: Additions, wanted: tuple[FuseWanted, ...]) -> tuple[Fused, ...]:
    """New fuses, all in one connector of one fuse box: one with enough free cavities, or one added to the chapter."""
    feeds = [feed_for(around, want.live) for want in wanted]
    box, outputs = _outputs(around, additions, len(wanted))
    made = []
    for want, feed, output in zip(wanted, feeds, outputs, strict=True):
        number = around.names.numbered("F")
        additions.use(box, output, f"{number} OUT")
        additions.inside[box].append(f"{{fuse: [{feed}, {output}], id: {number}, rating: {want.rating}}}")
        made.append(Fused(number, output, box, feed))
    return tuple(made)


def _outputs(around: Surroundings, additions: Additions, count: int) -> tuple[str, tuple[Point, ...]]:
    """A fuse box and `count` free cavities of one of its connectors, best of one that holds fuses already."""
    found = [
        (not _holds_fuses(around, plug), box, plug)
        for box in around.parts_of_kind(_BOX)
        for plug in around.connectors_of(box)
        if len(free_cavities(around, plug)) >= count
    ]
    if found:
        _, box, plug = min(found, key=lambda place: place[0])
        return box, claim(around, additions, free_cavities(around, plug)[:count])
    box = around.names.numbered("FB")
    additions.about[box] += ["name: Further fuse box", f"kind: {_BOX}", "location: TODO where this fuse box is"]
    body = NewBody(location="TODO which side of the fuse box")
    return box, new_connector(around, additions, box, count=count, new=body)


def _holds_fuses(around: Surroundings, plug: str) -> bool:
    fuses = (fuse for fuses in around.harness.fuses.values() for fuse in fuses)
    return any(fuse.terminals[-1].owner == plug for fuse in fuses)


def feed_for(around: Surroundings, live: str) -> str:
    """The first 12 V feed that is live then; one that is always live serves as well. Raises StarterError."""
    feeds = around.harness.feeds.items()
    for wanted in dict.fromkeys((live, "always")):
        for name, records in feeds:
            if records[0].live == wanted and _is_low(records[0]) and around.covered(records):
                return name
    raise StarterError(
        f"This kind of circuit needs a feed that is live with '{live}', and the vehicle notebook declares none: "
        "add one to 'feeds', such as {B+: {name: Battery positive, live: always}}."
    )


def _is_low(feed: Feed) -> bool:
    if feed.volts is None:
        return True
    volts = feed.volts.high
    return not (is_class_b(None, volts) if feed.current == "a.c." else is_class_b(volts, None))


def module_supply(around: Surroundings, additions: Additions, module: str) -> Supply:
    """The supply that the vehicle notebook gives a module; a new wire from a new fuse if it gives none."""
    for cavity in _supply_cavities(around, module):
        way = path_to(around, cavity, lambda end: bool(_fuses_at(around, end)), only_shared=True)
        if way:
            output = end_of(way, cavity)
            fuse = _fuses_at(around, output)[0]
            additions.use(module, cavity, around.signal_at(cavity) or _SUPPLY)
            return Supply(cavity, way[0].circuit, Fused(fuse_id(fuse), output, fuse.part, str(fuse.terminals[0])))
    (cavity,) = take_cavities(around, additions, module, count=1)
    (fused,) = take_fuses(around, additions, (FuseWanted("always", "10 A"),))
    wire = around.names.circuit("A")
    additions.use(module, cavity, _SUPPLY)
    additions.inside[module].append(f"{{module-supply: {cavity}}}")
    additions.wires.append(f"[{fused.output}, {wire} RD 0.75 mm2, {cavity}]")
    return Supply(cavity, wire, fused)


def _supply_cavities(around: Surroundings, module: str) -> list[Point]:
    return [
        device.terminals[0]
        for device in around.book.vehicle.wiring.devices
        if device.kind == "module-supply" and device.part == module and around.holds(device)
    ]


def _fuses_at(around: Surroundings, output: Point) -> list[Device]:
    """The fuses that feed a cavity on every series of the new chapter."""
    devices = around.harness.devices.get(output, ())
    return [each for each in devices if each.kind == "fuse" and each.terminals[-1] == output and around.holds(each)]
