"""Circuits written as short YAML, for tests of the drawing alone: no notebook, no checks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml

from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import parse_point
from authorkit.model.wire_colour import parse_colour
from authorkit.model.wiring import (
    CavityUse,
    Connector,
    Device,
    Feed,
    Ground,
    Part,
    Shield,
    Splice,
    TwistedPair,
    Wire,
    Wiring,
)
from authorkit.problems import Place
from authorkit.units import parse_quantity

FOLDER = Path(__file__).parent / "circuits"
_HERE = Place("circuit.yaml")


def circuit(name: str) -> Wiring:
    """The circuit of a file in `circuits/`."""
    return wiring_of((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))


def names() -> list[str]:
    """All circuits that are written down."""
    return sorted(path.stem for path in FOLDER.glob("*.yaml"))


def wiring_of(text: str) -> Wiring:
    """Read a circuit: parts, wires, splices, grounds, feeds, pairs, shields, in-line connectors."""
    said = yaml.load(text, Loader=yaml.BaseLoader)
    parts = said.get("parts", {})
    return Wiring(
        parts=tuple(
            Part(name, part.get("name", ""), part.get("kind", "component"), _HERE, side=part.get("side", ""))
            for name, part in parts.items()
        ),
        connectors=tuple(_connectors(said)),
        cavities=tuple(_cavities(parts)),
        wires=tuple(_wires(said.get("wires", []))),
        devices=tuple(_device(name, row) for name, part in parts.items() for row in part.get("inside", [])),
        splices=tuple(Splice(name, _HERE) for name in said.get("splices", [])),
        grounds=tuple(Ground(name, where, _HERE) for name, where in said.get("grounds", {}).items()),
        feeds=tuple(Feed(name, words, _HERE) for name, words in said.get("feeds", {}).items()),
        pairs=tuple(TwistedPair((first, second), _HERE) for first, second in said.get("pairs", [])),
        shields=tuple(Shield(tuple(row["wires"]), row.get("drain", ""), _HERE) for row in said.get("shields", [])),
    )


def _connectors(said: Mapping[str, Any]) -> Iterator[Connector]:
    for name, part in said.get("parts", {}).items():
        for plug, cavities in part.get("connectors", {}).items():
            yield Connector(plug, name, _HERE, rows=(tuple(cavities),))
    for plug in said.get("in-line", []):
        yield Connector(plug, "", _HERE)


def _cavities(parts: Mapping[str, Any]) -> Iterator[CavityUse]:
    for name, part in parts.items():
        for plug, cavities in part.get("connectors", {}).items():
            for cavity, signal in cavities.items():
                yield CavityUse(parse_point(f"{plug}.{cavity}"), name, signal, _HERE)


def _wires(chains: list[list[str]]) -> Iterator[Wire]:
    for number, chain in enumerate(chains):
        for position in range(0, len(chain) - 2, 2):
            start, text, end = chain[position : position + 3]
            name, colour, size, unit = text.rsplit(" ", 3)
            yield Wire(
                name,
                parse_colour(colour),
                parse_quantity(f"{size} {unit}"),
                (parse_point(start), parse_point(end)),
                _HERE,
                chain=number,
                position=position // 2,
            )


def _device(part: str, row: Mapping[str, Any]) -> Device:
    kind, terminals = next(iter(row.items()))
    keys = {key.name: key for key in DEVICE_KINDS[kind].values} if kind in DEVICE_KINDS else {}
    values: dict[str, Any] = {}
    for name, value in list(row.items())[1:]:
        takes = keys[name].takes if name in keys else "text"
        values[name] = _value(takes, value)
    points = [terminals] if isinstance(terminals, str) else terminals
    return Device(kind, part, tuple(parse_point(point) for point in points), _HERE, values)


def _value(takes: str, value: Any) -> Any:
    if takes == "text" or takes.startswith("choice"):
        return value
    if takes == "point":
        return parse_point(value)
    if takes == "rail":
        return parse_quantity(value) if value[:1].isdigit() else parse_point(value)
    if takes.startswith("table"):
        first = takes.split(":")[1]
        return tuple(
            (key if first == "text" else parse_quantity(key), parse_quantity(entry)) for key, entry in value.items()
        )
    return parse_quantity(value)
