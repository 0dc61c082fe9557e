"""The whole book as one harness: what every notebook says, indexed by name and by point."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, Protocol, TypeVar

from authorkit.model.book import Book
from authorkit.model.point import Point
from authorkit.model.wiring import (
    CavityUse,
    Connector,
    Device,
    Feed,
    Ground,
    Part,
    Splice,
    Wire,
    Wiring,
    applies,
)


class _Named(Protocol):
    @property
    def id(self) -> str: ...


_Record = TypeVar("_Record", Part, Connector, Splice, Ground, Feed)
_Named_T = TypeVar("_Named_T", bound=_Named)
_Item = TypeVar("_Item")
_Key = TypeVar("_Key")


@dataclass(frozen=True)
class Harness:
    """Every record of the book by name; several notebooks may say something about one name.

    `uses`, `wires` and `devices` are indexed by point. Contradictions stay visible to the checks; only `whole_parts`
    and `whole_connectors` put together what is said of one name.
    """

    parts: Mapping[str, tuple[Part, ...]]
    connectors: Mapping[str, tuple[Connector, ...]]
    splices: Mapping[str, tuple[Splice, ...]]
    grounds: Mapping[str, tuple[Ground, ...]]
    feeds: Mapping[str, tuple[Feed, ...]]
    uses: Mapping[Point, tuple[CavityUse, ...]]
    wires: Mapping[Point, tuple[Wire, ...]]
    devices: Mapping[Point, tuple[Device, ...]]
    fuses: Mapping[str, tuple[Device, ...]]
    whole_parts: Mapping[str, Part]
    whole_connectors: Mapping[str, Connector]

    def part(self, name: str) -> Part | None:
        """The part of that name, put together from all that is said of it (the first word on each thing counts)."""
        return self.whole_parts.get(name)

    def connector(self, name: str) -> Connector | None:
        """The connector of that name, put together likewise: its part from one notebook, its layout from another."""
        return self.whole_connectors.get(name)

    def is_known(self, point: Point) -> bool:
        """Whether a point names a cavity, splice, ground or feed that something in the book declares."""
        if point.is_cavity:
            connector = self.connector(point.owner)
            if connector is None:
                return False
            return not connector.cavities or point.cavity in connector.cavities
        return point.owner in self.splices or point.owner in self.grounds or point.owner in self.feeds


def build_harness(book: Book) -> Harness:
    """Index everything that the vehicle notebook and all chapters say."""
    return harness_of(book.wirings)


def harness_of(wirings: Iterable[Wiring]) -> Harness:
    """Index several wirings, in the order given."""
    wirings = tuple(wirings)
    devices = [device for wiring in wirings for device in wiring.devices]
    fuses = [device for device in devices if device.kind == "fuse"]
    parts = _by_name(part for wiring in wirings for part in wiring.parts)
    connectors = _by_name(connector for wiring in wirings for connector in wiring.connectors)
    return Harness(
        parts=parts,
        connectors=connectors,
        splices=_by_name(splice for wiring in wirings for splice in wiring.splices),
        grounds=_by_name(ground for wiring in wirings for ground in wiring.grounds),
        feeds=_by_name(feed for wiring in wirings for feed in wiring.feeds),
        uses=_index((use for wiring in wirings for use in wiring.cavities), lambda use: (use.point,)),
        wires=_index((wire for wiring in wirings for wire in wiring.wires), lambda wire: wire.ends),
        devices=_index(devices, device_points),
        fuses=_index(fuses, lambda fuse: (fuse_id(fuse),)),
        whole_parts={name: merged(records) for name, records in parts.items()},
        whole_connectors={name: merged(records) for name, records in connectors.items()},
    )


def fuse_id(fuse: Device) -> str:
    """The number of a fuse device ('F21')."""
    return str(fuse.values.get("id", fuse.name))


def device_points(device: Device) -> tuple[Point, ...]:
    """Every point that a device touches: its terminals, and the points named in its values (`through:`, `to:`)."""
    named = tuple(value for _, value in sorted(device.values.items()) if isinstance(value, Point))
    return tuple(dict.fromkeys((*device.terminals, *named)))


def circuit_points(wiring: Wiring) -> frozenset[Point]:
    """Every point that a wire, a device or a cavity's name of this wiring touches."""
    points = {end for wire in wiring.wires for end in wire.ends}
    points.update(point for device in wiring.devices for point in device_points(device))
    points.update(use.point for use in wiring.cavities)
    return frozenset(points)


def merged(records: tuple[_Record, ...]) -> _Record:
    """One record from several about the same name: for each field the first value that is not its default.

    The id, the place and the series stay those of the first. Raises IndexError if there is no record.
    """
    whole = records[0]
    for record in records[1:]:
        said = {
            field.name: getattr(record, field.name)
            for field in fields(record)
            if field.name not in ("id", "place", "series")
            and is_unsaid(whole, field.name)
            and not is_unsaid(record, field.name)
        }
        whole = replace(whole, **said) if said else whole
    return whole


def limited(wiring: Wiring, series: str, absent: Collection[str] = ()) -> Wiring:
    """Only the facts that hold on one series, without those inside parts that are `absent` from it."""
    kept: dict[str, tuple[Any, ...]] = {
        field.name: tuple(record for record in getattr(wiring, field.name) if applies(record.series, series))
        for field in fields(wiring)
    }
    if absent:
        for name in ("connectors", "cavities", "devices"):
            kept[name] = tuple(record for record in kept[name] if record.part not in absent)
    return Wiring(**kept)


def absent_parts(wirings: Iterable[Wiring], series: str) -> frozenset[str]:
    """The parts that some notebook describes, but none for this series."""
    known: set[str] = set()
    present: set[str] = set()
    for wiring in wirings:
        known.update(part.id for part in wiring.parts)
        present.update(part.id for part in wiring.parts if applies(part.series, series))
    return frozenset(known - present)


def book_wiring(book: Book, series: str) -> Wiring:
    """Everything that all notebooks say and that holds on one series, as one wiring."""
    absent = absent_parts(book.wirings, series)
    wirings = [limited(wiring, series, absent) for wiring in book.wirings]
    return Wiring(
        **{
            field.name: tuple(record for wiring in wirings for record in getattr(wiring, field.name))
            for field in fields(Wiring)
        }
    )


# Marks a spot inside a part, so that spots of the same name inside two parts stay apart. No name can hold it.
INNER = "#"


def with_inner_points_apart(wiring: Wiring) -> Wiring:
    """The same wiring with each spot inside a part named after its part (`M5#n1`), ready to follow paths through."""
    shared = {record.id for records in (wiring.splices, wiring.grounds, wiring.feeds) for record in records}

    def apart(point: Point, part: str) -> Point:
        is_inner = not point.is_cavity and point.owner not in shared
        return Point(f"{part}{INNER}{point.owner}") if is_inner else point

    def device_apart(device: Device) -> Device:
        values = {
            key: apart(value, device.part) if isinstance(value, Point) else value
            for key, value in device.values.items()
        }
        return replace(device, terminals=tuple(apart(point, device.part) for point in device.terminals), values=values)

    return replace(wiring, devices=tuple(device_apart(device) for device in wiring.devices))


_UNSAID = ("", (), None)


def is_unsaid(record: Part | Connector | Splice | Ground | Feed, name: str) -> bool:
    """Whether a field still holds what it holds when the author says nothing."""
    value = getattr(record, name)
    default = _DEFAULTS[type(record)].get(name, "")
    return bool(value == default or value in _UNSAID)


_DEFAULTS: dict[type, dict[str, Any]] = {
    kind: {field.name: field.default for field in fields(kind)} for kind in (Part, Connector, Splice, Ground, Feed)
}


def _by_name(records: Iterable[_Named_T]) -> dict[str, tuple[_Named_T, ...]]:
    return _index(records, lambda record: (record.id,))


def _index(items: Iterable[_Item], keys: Callable[[_Item], Iterable[_Key]]) -> dict[_Key, tuple[_Item, ...]]:
    found: dict[_Key, list[_Item]] = defaultdict(list)
    for item in items:
        for key in dict.fromkeys(keys(item)):
            found[key].append(item)
    return {key: tuple(values) for key, values in found.items()}
