"""Parts with their connectors, cavities and devices, as a chapter or the vehicle notebook writes them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from authorkit.facts.schema.devices import INSIDE, SERIES
from authorkit.facts.schema.form import MapOf, OneOrMore
from authorkit.facts.schema.record import Found, Key, Record, into
from authorkit.facts.schema.scalars import (
    COLOUR_TEXT,
    HAZARD,
    NAME,
    NAMES,
    ROW,
    TEXT,
    TEXTS,
    choice,
    quantity,
    yes,
)
from authorkit.model.point import Point
from authorkit.model.wiring import PART_KINDS, CavityUse, Connector, Device, Part, Series
from authorkit.problems import Place


@dataclass(frozen=True)
class ConnectorUse:
    """A connector under the part it plugs into: its cavities with their signal names."""

    id: str
    place: Place
    cavities: tuple[tuple[str, CavityUse], ...] = ()
    series: Series = ()


@dataclass(frozen=True)
class PartFacts:
    """What one notebook says about one part; `part` is None if it only adds to a part described elsewhere."""

    part: Part | None
    connectors: tuple[Connector, ...]
    cavities: tuple[CavityUse, ...]
    devices: tuple[Device, ...]


def _cavity(found: Found) -> CavityUse:
    return CavityUse(Point("", found.name), "", place=found.place, **found.values)


CAVITY = Record(
    "a cavity",
    _cavity,
    (
        Key("signal", TEXT, "the signal name at this end of the wire", "ECT SIG", True),
        SERIES,
    ),
    short="signal",
)

CONNECTOR_USE = Record(
    "the cavities of a connector",
    into(ConnectorUse, "id"),
    (SERIES,),
    extra=CAVITY,
    extra_field="cavities",
)

_ABOUT = (
    Key("location", TEXT, "where it is found in the vehicle", "Left side of the cylinder head"),
    Key("in-charge-of", TEXTS, "what a module looks after", "[fuel, ignition]"),
    Key("hazards", OneOrMore(HAZARD), "hazards that the part brings with it", "[hot coolant]"),
    Key("side", choice("left", "right", "top", "bottom"), "the side on which drawings put it", "left"),
    Key("note", TEXT, "anything else to know about the part", "Behind the wheel arch liner"),
)
_HOLDS = (
    Key("connectors", MapOf(CONNECTOR_USE, NAME), "its connectors: cavity and signal name", '{B5: {"1": SIG}}'),
    Key("inside", INSIDE, "the devices inside the part", "[{resistor: [B5.1, B5.2], r: 120 Ω}]"),
)


def part_record(kind: str, *, named: bool) -> Record[PartFacts]:
    """The form of a part; `kind` is what it is unless it says otherwise, `named` parts must have a name."""

    def build(found: Found) -> PartFacts:
        uses = found.values.pop("connectors", ())
        devices = found.values.pop("inside", ())
        return PartFacts(
            _part(found, kind),
            tuple(Connector(use.id, found.name, use.place, series=use.series) for use in uses),
            tuple(_placed(cavity, name, use, found.name) for use in uses for name, cavity in use.cavities),
            tuple(replace(device, part=found.name) for device in devices),
        )

    name = Key("name", TEXT, "what the page calls it", "Coolant temperature sensor", named, "" if named else None)
    kinds = Key("kind", choice(*PART_KINDS), f"what it is; {kind}, if left out", "relay")
    return Record("a module" if kind == "module" else "a part", build, (name, kinds, *_ABOUT, *_HOLDS, SERIES))


def _part(found: Found, kind: str) -> Part | None:
    """The part; None where nothing is said but what it holds. A part that is only added to gets no kind."""
    values = dict(found.values)
    if not values.keys() - {"series"}:
        return None
    values.setdefault("kind", kind if "name" in values else "")
    values.setdefault("name", "")
    return Part(id=found.name, place=found.place, **values)


def _placed(cavity: CavityUse, name: str, use: ConnectorUse, part: str) -> CavityUse:
    return replace(cavity, point=Point(use.id, name), part=part, series=cavity.series or use.series)


def _connector(found: Found) -> Connector:
    values = dict(found.values)
    values.pop("in_line", None)
    values["large"] = tuple(cavity for row in values.get("large", ()) for cavity in row if cavity)
    return Connector(found.name, "", found.place, **values)


CONNECTOR = Record(
    "a connector",
    _connector,
    (
        Key("rows", OneOrMore(ROW), "its cavities row by row; '1-16' is a range, '_' a hole", '["1-8", "9-16"]'),
        Key("view", choice("wire side", "terminal side"), "the side it is seen from", "wire side"),
        Key("shape", choice("rectangular", "round"), "its outline", "rectangular"),
        Key("colour", COLOUR_TEXT, "the colour of its body", "GY"),
        Key("location", TEXT, "where it is found in the vehicle", "Under the scuttle panel"),
        Key("access", quantity("time"), "how long it takes to reach and unplug it", "4 min"),
        Key("key", TEXT, "where its locating key is", "top"),
        Key("lock", TEXT, "where its locking tab is", "bottom"),
        Key("large", OneOrMore(ROW), "its cavities for larger terminals", "1-2"),
        Key("sealed", yes(), "whether its cavities are sealed", "yes"),
        Key("back-probe", yes(), "whether a probe can be pushed in from the wire side", "yes"),
        Key("in-line", yes("yes"), "it joins two harnesses instead of plugging into a part", "yes"),
        Key("colour-change", NAMES, "circuits whose colour or size changes there on purpose", "[K131]"),
        SERIES,
    ),
)
