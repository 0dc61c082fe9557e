"""Devices in series: two-terminal devices that merely follow one another inside a part are drawn as one chain."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from authorkit.drawing.netlist import Netlist, Unit
from authorkit.drawing.symbols import SYMBOLS
from authorkit.model.point import Point
from authorkit.model.wiring import Device


def inner_rows(unit: Unit, netlist: Netlist) -> tuple[Point, ...]:
    """The spots inside a part that need a row of their own: all but those that merely join two devices in series."""
    at: dict[Point, list[Device]] = defaultdict(list)
    for device in unit.devices:
        for terminal in dict.fromkeys(device.terminals):
            if netlist.kinds.get(terminal) == "inner":
                at[terminal].append(device)
    return tuple(spot for spot, devices in at.items() if not _is_series(devices))


def _is_series(devices: list[Device]) -> bool:
    return len(devices) == 2 and all(is_two_terminal(device) for device in devices)


def unreached(unit: Unit, netlist: Netlist) -> list[Device]:
    """Devices that touch no cavity of their part, not even through others: nothing would lead to them."""
    rows = {pin.point for pin in unit.pins} | set(inner_rows(unit, netlist))
    lost = [device for path in series_of(unit, rows, netlist) if not rows & set(path.ends) for device in path.devices]
    return lost + [
        device
        for device in unit.devices
        if not is_two_terminal(device) and device.kind in SYMBOLS and not rows & set(device.terminals)
    ]


def is_two_terminal(device: Device) -> bool:
    """Whether a device has a symbol that stands between two points."""
    symbol = SYMBOLS.get(device.kind)
    return symbol is not None and symbol.form in ("two", "contact") and len(device.terminals) == 2


@dataclass(frozen=True)
class Series:
    """Two-terminal devices one after the other; `turned` devices are passed from their second terminal."""

    devices: tuple[Device, ...]
    turned: tuple[bool, ...]
    ends: tuple[Point, Point]

    def reversed(self) -> Series:
        """From the other end."""
        turned = tuple(not each for each in reversed(self.turned))
        return Series(self.devices[::-1], turned, (self.ends[1], self.ends[0]))


def series_of(unit: Unit, rows: Iterable[Point], netlist: Netlist) -> list[Series]:
    """The two-terminal devices of a part, joined where nothing else hangs on the spot between them."""
    rows = set(rows)
    paths = [
        Series((device,), (False,), (device.terminals[0], device.terminals[1]))
        for device in unit.devices
        if is_two_terminal(device)
    ]
    position = 0
    while position < len(paths):
        path = paths[position]
        partner = next((other for other in paths[position + 1 :] if _meeting(path, other, rows, netlist)), None)
        if partner is None:
            position += 1
            continue
        paths.remove(partner)
        paths[position] = _joined(path, partner, _meeting(path, partner, rows, netlist))
    return paths


def _meeting(first: Series, second: Series, rows: set[Point], netlist: Netlist) -> Point | None:
    for spot in first.ends:
        if spot in second.ends and spot not in rows and netlist.kinds.get(spot) == "inner":
            return spot
    return None


def _joined(first: Series, second: Series, spot: Point | None) -> Series:
    first = first if first.ends[1] == spot else first.reversed()
    second = second if second.ends[0] == spot else second.reversed()
    return Series(first.devices + second.devices, first.turned + second.turned, (first.ends[0], second.ends[1]))


def power_stages(unit: Unit, rows: Iterable[Point]) -> list[tuple[Device, ...]]:
    """The phases of each inverter of a part: those that share both their supply terminals, where these are rows."""
    rows = set(rows)
    stages: dict[tuple[Point, ...], list[Device]] = defaultdict(list)
    for device in unit.devices:
        if device.kind == "inverter-phase" and len(device.terminals) == 3 and set(device.terminals) <= rows:
            stages[device.terminals[1:]].append(device)
    return [tuple(stage) for stage in stages.values() if len(stage) > 1]
