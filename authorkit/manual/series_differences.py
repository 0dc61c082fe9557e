"""What differs between the series, computed from the facts: one row for each thing, one column for each series.

Grouped so that it can be read: what stands inside a part that one series lacks is not listed again, wires that differ
in the same way share a row, and of a wire only what differs is said.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from authorkit.manual.blocks import Table, words
from authorkit.manual.scope import Scope, Shared
from authorkit.manual.wire_differences import FITTED, NOT_FITTED, circuit_differences, in_all, listed_names
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.vehicle import HighVoltage
from authorkit.model.wiring import Connector, Device, Feed, Ground, Network, Part, Wiring, applies
from authorkit.units import Quantity, show


@dataclass(frozen=True)
class Difference:
    """One row: the kind of thing ('Part'), its name, and in words what each series has, in the order of the series."""

    kind: str
    what: str
    series: tuple[str, ...]


def vehicle_differences(shared: Shared) -> list[Difference]:
    """What differs between the series that the manual is printed for, on the whole vehicle."""
    shown = {name: wiring for name, wiring in shared.wirings.items() if applies(shared.book.recipe.series, name)}
    entries = shared.book.vehicle.high_voltage
    safety = {name: tuple(entry for entry in entries if applies(entry.series, name)) for name in shown}
    return differences(shown, high_voltage=safety)


def chapter_differences(scope: Scope) -> list[Difference]:
    """What differs about the circuit of one chapter."""
    shown = {name: wiring for name, wiring in scope.shared.wirings.items() if name in scope.circuits}
    found = scope.shared.once(("differences", *shown), partial(_Found, shown))
    return found.within(scope.circuits.values())


def difference_table(rows: Sequence[Difference], series: Sequence[str], caption: str, anchor: str) -> Table:
    """The rows as a table with a column for each series."""
    cells = tuple((words(row.kind), words(row.what), *(words(said) for said in row.series)) for row in rows)
    columns = ("Kind", "Name", *(f"Series {name}" for name in series))
    return Table(caption, columns, cells, anchor, widths=(1.1, 2.2, *(3.0 for _ in series)))


def differences(
    vehicle: Mapping[str, Wiring],
    within: Iterable[Wiring] | None = None,
    high_voltage: Mapping[str, tuple[HighVoltage, ...]] | None = None,
) -> list[Difference]:
    """Every difference between the series of a vehicle, each with its whole wiring; nothing for fewer than two.

    `within` limits the rows to what some circuits hold: a chapter's circuit says less than the vehicle has, so that
    what it leaves out must not be taken for missing. `high_voltage` is what the vehicle says of each series.
    """
    found = _Found(vehicle, high_voltage)
    return found.everything() if within is None else found.within(within)


@dataclass(frozen=True)
class _Item:
    """One difference before rows are put together: what each series has, None for nothing.

    `at` names what it belongs to: an id, or a point where only some points of a row may be asked for.
    """

    kind: str
    what: str
    said: tuple[str | None, ...]
    at: tuple[str | Point, ...]


class _Found:
    """All differences of a vehicle, so that the circuits of many chapters can be looked up in them."""

    def __init__(
        self, vehicle: Mapping[str, Wiring], high_voltage: Mapping[str, tuple[HighVoltage, ...]] | None = None
    ) -> None:
        each = list(vehicle.values())
        self.items = list(_items(each)) if len(each) > 1 else []
        if high_voltage and len(each) > 1:
            entries = [high_voltage[series] for series in vehicle]
            self.items += _records("High voltage", entries, _safety_words, key=lambda entry: str(entry.disconnect))
        self.names = {part.id: part.name for wiring in reversed(each) for part in wiring.parts}
        self.at: dict[tuple[str, str | Point], list[int]] = defaultdict(list)
        for number, item in enumerate(self.items):
            for name in item.at:
                self.at[item.kind, name].append(number)

    def everything(self) -> list[Difference]:
        """Every row."""
        return _grouped(_rows(self.items), self.names)

    def within(self, circuits: Iterable[Wiring]) -> list[Difference]:
        """The rows that concern what some circuits hold."""
        numbers = {number for circuit in circuits for key in _keys(circuit) for number in self.at.get(key, ())}
        return _grouped(_rows(self.items[number] for number in sorted(numbers)), self.names)


def _items(each: Sequence[Wiring]) -> Iterator[_Item]:
    odd = _odd_parts(each)
    kept = [_without_odd_parts(wiring, odd) for wiring in each]
    yield from _records("Part", [wiring.parts for wiring in each], _part_words)
    yield from _records("Connector", [wiring.connectors for wiring in kept], _connector_words)
    yield from _cavities(kept)
    yield from _devices([wiring.devices for wiring in kept])
    for name, said in circuit_differences(each):
        yield _Item("Wire", name, said, (name,))
    yield from _records("Splice", [wiring.splices for wiring in each], lambda splice: (splice.location,))
    yield from _records("Ground", [wiring.grounds for wiring in each], _ground_words)
    yield from _records("Network", [wiring.networks for wiring in each], _network_words)
    yield from _records("Feed", [wiring.feeds for wiring in each], _feed_words)


def _keys(circuit: Wiring) -> Iterator[tuple[str, str | Point]]:
    """Under what the differences of a circuit's facts are found."""
    named = (
        ("Part", circuit.parts),
        ("Connector", circuit.connectors),
        ("Splice", circuit.splices),
        ("Ground", circuit.grounds),
        ("Network", circuit.networks),
        ("Feed", circuit.feeds),
    )
    yield from ((kind, record.id) for kind, records in named for record in records)
    yield from (("Wire", wire.circuit) for wire in circuit.wires)
    points = {end for wire in circuit.wires for end in wire.ends} | {use.point for use in circuit.cavities}
    yield from ((kind, point) for kind in ("Cavity", "Inside") for point in points)


_NOTHING = {"Cavity": "not used", "Inside": "nothing of it"}


def _rows(items: Iterable[_Item]) -> Iterator[Difference]:
    """Items as rows; those about one connector or the inside of one part are one row."""
    together: dict[tuple[str, str], list[_Item]] = defaultdict(list)
    for item in items:
        together[item.kind, item.what].append(item)
    for (kind, what), members in together.items():
        columns = zip(*(item.said for item in members), strict=True)
        said = (", ".join(dict.fromkeys(words for words in column if words is not None)) for column in columns)
        yield Difference(kind, what, tuple(words or _NOTHING.get(kind, NOT_FITTED) for words in said))


def _grouped(rows: Iterable[Difference], parts: Mapping[str, str]) -> list[Difference]:
    """Rows of one kind that say the same of several names, as one row; parts are called by their names as well."""
    groups: dict[tuple[str, tuple[str, ...]], list[str]] = defaultdict(list)
    for row in rows:
        groups[row.kind, row.series].append(row.what)
    found = [
        Difference(kind, _called(names, parts) if kind == "Part" else listed_names(sorted(names, key=_natural)), series)
        for (kind, series), names in groups.items()
    ]
    kinds = list(dict.fromkeys(row.kind for row in found))
    return sorted(found, key=lambda row: (kinds.index(row.kind), _natural(row.what)))


def _called(names: Sequence[str], parts: Mapping[str, str]) -> str:
    return ", ".join(f"{name} {parts.get(name, '')}".strip() for name in names)


def _natural(name: str) -> tuple[tuple[bool, int, str], ...]:
    """M2 before M10."""
    pieces = re.split(r"(\d+)", name)
    return tuple((piece.isdecimal(), int(piece) if piece.isdecimal() else 0, piece) for piece in pieces if piece)


# ------------------------------------------------------------------------------------------------- parts, connectors


def _odd_parts(wirings: Sequence[Wiring]) -> frozenset[str]:
    """The parts that not every series has."""
    names = [{part.id for part in wiring.parts} for wiring in wirings]
    return frozenset(set[str]().union(*names) - in_all(names))


def _without_odd_parts(wiring: Wiring, odd: frozenset[str]) -> Wiring:
    return Wiring(
        connectors=tuple(each for each in wiring.connectors if each.part not in odd),
        cavities=tuple(each for each in wiring.cavities if each.part not in odd),
        devices=tuple(each for each in wiring.devices if each.part not in odd),
    )


def _records(
    kind: str,
    series: Sequence[Sequence[Any]],
    say: Callable[[Any], tuple[str, ...]],
    *,
    key: Callable[[Any], str] = lambda record: str(record.id),
) -> Iterator[_Item]:
    """Records by name: those that some series lack, and those of which `say` says something else."""
    known = [{key(record): say(record) for record in records} for records in series]
    for name in dict.fromkeys(name for records in known for name in records):
        found = [records.get(name) for records in known]
        said = [each for each in found if each is not None]
        differing = [n for n, values in enumerate(zip(*said, strict=True)) if len(set(values)) > 1]
        if len(said) < len(found):
            yield _Item(kind, name, tuple(FITTED if each else NOT_FITTED for each in found), (name,))
        elif differing:
            shown = tuple(", ".join(each[n] or "not stated" for n in differing) for each in said)
            yield _Item(kind, name, shown, (name,))


def _part_words(part: Part) -> tuple[str, ...]:
    return (part.name, part.location, part.kind, ", ".join(part.in_charge_of))


def _connector_words(connector: Connector) -> tuple[str, ...]:
    rows = f"{len(connector.cavities)} cavities" if connector.rows else ""
    layout = "" if not connector.rows else f"rows of {', '.join(str(len(row)) for row in connector.rows)}"
    return (rows, layout, connector.shape, connector.colour, connector.location)


def _ground_words(ground: Ground) -> tuple[str, ...]:
    return (ground.location, ground.bolt, _shown(ground.torque))


def _feed_words(feed: Feed) -> tuple[str, ...]:
    return (feed.name, _shown(feed.volts), feed.live)


def _network_words(network: Network) -> tuple[str, ...]:
    return (network.kind, network.speed, f"members {', '.join(network.members)}")


def _safety_words(entry: HighVoltage) -> tuple[str, ...]:
    return (f"waiting time {show(entry.waiting)}", f"meter {entry.tool}", f"gloves of class {entry.gloves}")


def _shown(value: Quantity | None) -> str:
    return show(value) if value is not None else ""


# ------------------------------------------------------------------------------------------------- cavities, devices


def _cavities(wirings: Sequence[Wiring]) -> Iterator[_Item]:
    """The cavities whose signal differs, of connectors that every series has."""
    common = in_all({connector.id for connector in wiring.connectors} for wiring in wirings)
    signals = [{use.point: use.signal for use in wiring.cavities if use.point.owner in common} for wiring in wirings]
    points = sorted(set().union(*signals), key=lambda point: (point.owner, _number(point.cavity), point.cavity))
    for point in points:
        said = tuple(f"{point.cavity} {each[point]}".strip() if point in each else None for each in signals)
        if len(set(said)) > 1:
            yield _Item("Cavity", point.owner, said, (point,))


def _number(cavity: str) -> int:
    return int(cavity) if cavity.isdecimal() else 10_000


# Values whose unit says what they are.
_UNNAMED = ("r", "volts", "rating")

_Site = tuple[str, tuple[str, ...]]


def _devices(series: Sequence[Sequence[Device]]) -> Iterator[_Item]:
    """What is inside parts that every series has: other values, or other devices."""
    sites = [_sites(devices) for devices in series]
    for key in dict.fromkeys(key for here in sites for key in here):
        found = [here.get(key) for here in sites]
        values = [_values(device) if device is not None else None for device in found]
        if any(each != values[0] for each in values):
            said = tuple(_device_words(device, values) if device is not None else None for device in found)
            at = {terminal for device in found if device is not None for terminal in device.terminals}
            yield _Item("Inside", key[0], said, tuple(sorted(at)))


def _sites(devices: Iterable[Device]) -> dict[_Site, Device]:
    """Each device by its part, kind and terminals; a second one at the same place is told apart by its number."""
    found: dict[_Site, Device] = {}
    for device in devices:
        key = (device.part, (device.kind, *map(str, device.terminals)))
        while key in found:
            key = (key[0], (*key[1], "again"))
        found[key] = device
    return found


def _values(device: Device) -> dict[str, str]:
    return {key: _value_words(value) for key, value in sorted(device.values.items())}


def _value_words(value: object) -> str:
    return show(value) if isinstance(value, Quantity) else str(value)


def _device_words(device: Device, others: Sequence[Mapping[str, str] | None]) -> str:
    """'fuse F5 40 A'; 'thermistor r25 2.05 kΩ' with only the values that differ if every series has the device."""
    kind = DEVICE_KINDS[device.kind].words if device.kind in DEVICE_KINDS else device.kind
    values = _values(device)
    name = values.pop("id", "") or device.name
    if None not in others:
        known = [each for each in others if each is not None]
        keys = sorted(set().union(*known) - {"id"})
        values = {key: values.get(key, "none") for key in keys if len({each.get(key) for each in known}) > 1}
        said = [value if key in _UNNAMED else f"{key} {value}" for key, value in values.items()]
    elif device.kind == "fuse":
        said = [values.get("rating", "")]
    else:
        said = [f"at {' and '.join(map(str, device.terminals))}"]
    return " ".join(filter(None, (kind, name, ", ".join(said))))
