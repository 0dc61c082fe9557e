"""The vehicle notebook: everything that chapters share."""

from __future__ import annotations

import re
from typing import Any

from authorkit.facts.node import told_of
from authorkit.facts.schema.chapter import ACCEPT
from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.form import ListOf, MapOf, RefusalError, Scalar, meaning_of_key
from authorkit.facts.schema.harness import FEED, HARNESS_KEYS, NETWORK, wiring_of
from authorkit.facts.schema.parts import part_record
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.record import Found, Key, Record, into
from authorkit.facts.schema.scalars import ANY_TEXT, CODE, METER_RATING, NAME, TEXT, TEXTS, WITH_UNIT, quantity
from authorkit.facts.schema.shared_procedure import SHARED_PROCEDURE
from authorkit.facts.schema.systems import Systems
from authorkit.model.vehicle import HighVoltage, ListedCode, SeriesInfo, Term, Tool
from authorkit.model.wire_colour import COLOURS, Colour, ColourError
from authorkit.problems.closest import closest, did_you_mean

_WIRING = ("connectors", "grounds", "feeds", "splices", "wires", "networks", "pairs", "shields")

IDENTITY: Record[dict[str, Any]] = Record(
    "the vehicle",
    lambda found: found.values,
    (
        Key("name", TEXT, "what the vehicle is called", "Veldrun Parcel", True, ""),
        Key("description", TEXT, "what it is", "hybrid delivery van", True, ""),
        Key("invented", TEXT, "the sentence that says so", "This vehicle does not exist.", True, ""),
        Key("battery", quantity("voltage"), "voltage of the charged battery at rest", "12.6 V"),
    ),
)

SERIES_INFO = Record(
    "a series",
    into(SeriesInfo, "id"),
    (
        Key("name", TEXT, "what it is called", "Series A", True),
        Key("note", TEXT, "how to tell it apart", "Up to the second model year"),
    ),
    short="name",
)

TOOL = Record(
    "a tool",
    into(Tool, "id"),
    (
        Key("name", TEXT, "what it is called", "Digital multimeter", True),
        Key("category", METER_RATING, "the rating printed on it (IEC 61010)", "CAT III 1000 V"),
        Key("note", TEXT, "anything else to know about it", "With leads of the same rating"),
    ),
    short="name",
)

TERM = Record(
    "a term",
    into(Term, "word"),
    (
        Key("meaning", TEXT, "what the word means", "Engine coolant temperature", True),
        Key("avoid", TEXTS, "other words that pages must not use for it", "[hot wire]"),
    ),
    short="meaning",
)


# Colours that insulation is often made in and IEC 60757 has no code for, as CSS Color Module Level 4 names them.
_NAMED_COLOURS = {
    "tan": "#D2B48C",
    "beige": "#F5F5DC",
    "ivory": "#FFFFF0",
    "light blue": "#ADD8E6",
    "light green": "#90EE90",
    "dark blue": "#00008B",
    "dark green": "#006400",
    "lime": "#00FF00",
    "magenta": "#FF00FF",
    "maroon": "#800000",
    "olive": "#808000",
}


def _colour_code(text: str, _: Reader) -> str:
    if text in COLOURS:
        raise ColourError(text, "a code that IEC 60757 does not have")
    return Colour(text, text, "#000000").code


_COLOUR_CODE = Scalar("a code of two capitals such as 'TN'", _colour_code, ANY_TEXT)


def _colour(found: Found) -> Colour | None:
    code, name = meaning_of_key(_COLOUR_CODE, found.node), found.values["name"]
    shown = found.values.get("shown") or _NAMED_COLOURS.get(name)
    if shown is not None:
        return Colour(code, name, shown) if code else None
    found.reader.report(
        "value-malformed",
        told_of(found.node, f"it is not known how to show the colour '{name}'."),
        found.node.place,
        found=name,
        expected=f"one of {', '.join(_NAMED_COLOURS)}, or a colour with 'shown'",
        suggestion=did_you_mean(closest(name, _NAMED_COLOURS)) or f"Write {{name: {name}, shown: '#D2B48C'}}.",
    )
    return None


def _shown(text: str, _: Reader) -> str:
    if re.fullmatch(r"#[0-9A-Fa-f]{6}", text):
        return text
    raise RefusalError(
        text, "an sRGB value such as '#D2B48C'", f"#{text}" if re.fullmatch(r"[0-9A-Fa-f]{6}", text) else None
    )


COLOUR = Record(
    "a colour code",
    _colour,
    (
        Key("name", TEXT, "the name of the colour", "tan", True),
        Key("shown", Scalar("an sRGB value such as '#D2B48C'", _shown, WITH_UNIT), "how it is drawn", "'#D2B48C'"),
    ),
    short="name",
)
COLOURS_KEY = Key(
    "colours",
    MapOf(COLOUR, _COLOUR_CODE),
    "own colour codes",
    "{TN: tan}",
)


def _listed_code(found: Found) -> ListedCode | None:
    code = meaning_of_key(CODE, found.node)
    return ListedCode(code, place=found.place, **found.values) if code else None


LISTED_CODE = Record(
    "a listed code",
    _listed_code,
    (
        Key("title", TEXT, "what the code means", "Mass air flow circuit", True),
        Key("set-by", NAME, "the module that stores the code", "M1", True, ""),
        SERIES,
    ),
)

HIGH_VOLTAGE = Record(
    "the high-voltage system",
    into(HighVoltage),
    (
        Key("disconnect", NAME, "the service disconnect", "SD1", True),
        Key("waiting", quantity("time"), "how long to wait after opening it", "5 min", True),
        Key("waiting-source", TEXT, "who states the waiting time", "Vehicle maker", True, ""),
        Key("tool", NAME, "the meter that is good enough", "T2", True, ""),
        Key("gloves", TEXT, "class of the insulating gloves (IEC 60903)", '"0"', True, ""),
        SERIES,
    ),
)


def _values(found: Found) -> dict[str, Any]:
    values = dict(found.values)
    parts = (*values.pop("modules", ()), *values.pop("parts", ()))
    wiring = wiring_of({name: values.pop(name) for name in _WIRING if name in values}, parts)
    values["colours"] = {colour.code: colour.name for colour in values.get("colours", ())}
    systems = values.pop("systems", ())
    values["systems"] = tuple(name for name, _ in systems)
    values["system_modules"] = {name: modules for name, modules in systems if modules}
    identity = values.pop("vehicle")
    return {**identity, **values, "wiring": wiring}


VEHICLE: Record[dict[str, Any]] = Record(
    "the vehicle notebook",
    _values,
    (
        Key("vehicle", IDENTITY, "what vehicle this is",
            "{name: Veldrun Parcel, description: hybrid delivery van, invented: It does not exist.}", True,
            otherwise={"name": "", "description": "", "invented": ""}),
        Key("series", MapOf(SERIES_INFO, NAME), "the vehicle's series", "{A: {name: Series A}}"),
        Key("systems", Systems(), "systems in the order of the thumb tabs, if need be with their modules",
            "[Engine management]"),
        Key("modules", MapOf(part_record("module", named=True), NAME), "modules",
            "{M1: {name: Engine control module}}"),
        Key("parts", MapOf(part_record("component", named=True), NAME), "other parts that chapters share",
            "{FB1: {name: Fuse box, kind: fuse box}}"),
        *HARNESS_KEYS,
        Key("feeds", MapOf(FEED, NAME), "supplies", "{B+: {name: Battery positive, live: always}}"),
        Key("networks", MapOf(NETWORK, NAME), "buses",
            "{CAN1: {name: Powertrain bus, kind: two-wire bus, members: [M1, M7]}}"),
        Key("tools", MapOf(TOOL, NAME), "special tools and meters", "{T1: {name: Digital multimeter}}"),
        Key("terms", MapOf(TERM, TEXT), "words of the glossary", "{ECT: Engine coolant temperature}"),
        COLOURS_KEY,
        Key("high-voltage", ListOf(HIGH_VOLTAGE), "what the high-voltage caution needs to know",
            "[{disconnect: SD1, waiting: 5 min, waiting-source: Vehicle maker, tool: T2, gloves: \"0\"}]"),
        Key("procedures", MapOf(SHARED_PROCEDURE, NAME), "procedures that chapters call",
            "{prove-ground: {name: Prove the ground, needs: [point], answers: [good, bad], steps: "
            "{1: {do: Key on., volts: [<point>, G1], then: {below 0.1 V: good, else: bad}}}}}"),
        Key("codes", MapOf(LISTED_CODE, CODE), "the code list", "{P0100: {title: Mass air flow circuit, set-by: M1}}"),
        ACCEPT,
    ),
)  # fmt: skip
"""The keys of the vehicle notebook; gives the values for `model.vehicle.Vehicle` by field."""
