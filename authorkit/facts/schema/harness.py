"""What belongs to no single part: wires, splices, grounds, feeds, buses, pairs, shields; and the harness of it all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.form import ListOf, MapOf
from authorkit.facts.schema.parts import CONNECTOR, PartFacts
from authorkit.facts.schema.points import TwoNames
from authorkit.facts.schema.record import Found, Key, Record, into
from authorkit.facts.schema.scalars import NAME, NAMES, TEXT, choice, quantity, quantity_text
from authorkit.facts.schema.wires import WIRE
from authorkit.model.wiring import (
    Connector,
    Feed,
    Ground,
    Network,
    Shield,
    Splice,
    TwistedPair,
    Wire,
    Wiring,
)

_WHERE = Key("location", TEXT, "where it is found in the vehicle", "Left strut tower", True)

SPLICE = Record("a splice", into(Splice, "id"), (_WHERE, SERIES), short="location")

GROUND = Record(
    "a ground point",
    into(Ground, "id"),
    (
        _WHERE,
        Key("bolt", TEXT, "its bolt or nut", "M8"),
        Key("torque", quantity("torque"), "how tight it is", "9 N·m"),
        Key("access", quantity("time"), "how long it takes to reach it", "2 min"),
        SERIES,
    ),
    short="location",
)

FEED = Record(
    "a feed",
    into(Feed, "id"),
    (
        Key("name", TEXT, "what the page calls it", "Battery positive", True),
        Key("volts", quantity("voltage"), "its voltage; battery voltage, if left out", "288 V"),
        Key("live", choice("always", "key on", "crank", "high voltage on"), "when it carries voltage", "key on"),
        Key("current", choice("d.c.", "a.c."), "its kind of current; d.c., if left out", "a.c."),
        SERIES,
    ),
)

NETWORK = Record(
    "a network",
    into(Network, "id"),
    (
        Key("name", TEXT, "what the page calls it", "Powertrain bus", True),
        Key("kind", choice("two-wire bus", "one-wire bus"), "how many wires it has", "two-wire bus", True),
        Key("members", NAMES, "the modules on it", "[M1, M7]"),
        Key("speed", quantity_text("data rate"), "its data rate", "500 kbit/s"),
        SERIES,
    ),
)


def _pair(found: Found) -> TwistedPair:
    return TwistedPair(found.values["wires"], found.place, found.values.get("series", ()))


PAIR = Record(
    "a twisted pair",
    _pair,
    (Key("wires", TwoNames(), "the two circuits that are twisted together", "[D1, D2]", True), SERIES),
    short="wires",
)


def _shield(found: Found) -> Shield:
    values = found.values
    return Shield(values["wires"], values.get("drain", ""), found.place, values.get("series", ()))


SHIELD = Record(
    "a shield",
    _shield,
    (
        Key("wires", NAMES, "the circuits inside the screen", "[R1, R2]", True),
        Key("drain", NAME, "the circuit of its drain wire", "R9"),
        SERIES,
    ),
)

HARNESS_KEYS = (
    Key("wires", ListOf(WIRE), "wires as a finger follows them", "[[M1-A.23, K131 BU/WH 0.5 mm2, B5.1]]"),
    Key("splices", MapOf(SPLICE, NAME), "splices and where they are", "{S10: In the engine harness near X12}"),
    Key("grounds", MapOf(GROUND, NAME), "ground points and where they are", "{G1: Left strut tower}"),
    Key("connectors", MapOf(CONNECTOR, NAME), "connector bodies", '{X12: {rows: ["1-4", "5-8"], in-line: yes}}'),
    Key("pairs", ListOf(PAIR), "circuits that are twisted together", "[[D1, D2]]"),
    Key("shields", ListOf(SHIELD), "screens around circuits", "[{wires: [R1, R2], drain: R9}]"),
)
"""The keys that a chapter's `circuit` and the vehicle notebook have in common."""


def wiring_of(values: Mapping[str, Any], parts: tuple[PartFacts, ...]) -> Wiring:
    """Everything that one notebook says about the harness, each line of wires numbered."""
    return Wiring(
        parts=tuple(facts.part for facts in parts if facts.part is not None),
        connectors=_connectors(values.get("connectors", ()), parts),
        cavities=tuple(cavity for facts in parts for cavity in facts.cavities),
        wires=_numbered(values.get("wires", ())),
        devices=tuple(device for facts in parts for device in facts.devices),
        **{
            name: values[name]
            for name in ("splices", "grounds", "feeds", "networks", "pairs", "shields")
            if name in values
        },
    )


def _connectors(bodies: tuple[Connector, ...], parts: tuple[PartFacts, ...]) -> tuple[Connector, ...]:
    """Bodies with the part they plug into where this notebook knows it, then connectors without a body here."""
    plugged = [connector for facts in parts for connector in facts.connectors]
    part_of = {connector.id: connector.part for connector in reversed(plugged)}
    described = [replace(body, part=part_of.get(body.id, "")) for body in bodies]
    pairs = {(connector.id, connector.part) for connector in described}
    return (*described, *(connector for connector in plugged if (connector.id, connector.part) not in pairs))


def _numbered(lines: tuple[tuple[Wire, ...], ...]) -> tuple[Wire, ...]:
    return tuple(replace(wire, chain=number) for number, line in enumerate(lines, 1) for wire in line)
