"""A chapter: everything that may stand in its facts cell."""

from __future__ import annotations

from typing import Any

from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.form import ListOf, MapOf, OneOrMore
from authorkit.facts.schema.harness import HARNESS_KEYS, wiring_of
from authorkit.facts.schema.measurements import SET_CONDITION, SPEC, SUSPECT, WAVEFORM
from authorkit.facts.schema.parts import part_record
from authorkit.facts.schema.procedure import BEFORE_START, CAUTION, STEP
from authorkit.facts.schema.record import Found, Key, Record, into
from authorkit.facts.schema.scalars import CODE, CODES, DATE, NAME, NAMES, TEXT, TEXTS, choice
from authorkit.facts.schema.states import STATE
from authorkit.model.chapter import VERIFIED, Acceptance, CircuitPath, FigureFile, Revision
from authorkit.model.wiring import Wiring


def _circuit(found: Found) -> Wiring:
    return wiring_of(found.values, found.values.get("parts", ()))


PART = part_record("component", named=False)

CIRCUIT = Record(
    "the circuit",
    _circuit,
    (
        Key("parts", MapOf(PART, NAME), "parts of the circuit", "{B5: {name: Coolant temperature sensor}}"),
        *HARNESS_KEYS,
    ),
)


def _revision(found: Found) -> Revision:
    return Revision(**found.values)


REVISION = Record(
    "the revision",
    _revision,
    (
        Key("number", TEXT, "counts up with every change", "2"),
        Key("date", DATE, "when it was changed", "2026-10-05"),
        Key("author", TEXT, "who changed it", "Demo author"),
        Key("verified", choice(*VERIFIED), "how far the page was tried out", "table-top"),
    ),
)

FIGURE = Record(
    "a figure",
    into(FigureFile),
    (
        Key("id", NAME, "its name for references", "sensor-photo", True),
        Key("file", TEXT, "a file below figures/", "sensor.png", True),
        Key("caption", TEXT, "the line below it", "The sensor seen from the left", True),
        Key("alt", TEXT, "what it shows, for those who do not see it", "A two-pin sensor in the head", True),
        SERIES,
    ),
)

PATH = Record(
    "a path through the circuit",
    into(CircuitPath),
    (
        Key("id", NAME, "its name for references", "return-path", True),
        Key("circuits", NAMES, "the circuits drawn in a heavy line", "[K200, Z141]", True),
        Key("caption", TEXT, "the line below it", "The way back to ground", True),
        SERIES,
    ),
)

ACCEPTANCE = Record(
    "an accepted finding",
    into(Acceptance),
    (
        Key("rule", TEXT, "the id of the rule", "cavity-without-wire", True),
        Key("because", TEXT, "why the finding is accepted", "The cavity is for an option", True),
        Key("where", TEXT, "text that the message must contain", "M1-A.7"),
    ),
)
ACCEPT = Key("accept", ListOf(ACCEPTANCE), "findings that are accepted", "[{rule: todo-left, because: Draft}]")


def _values(found: Found) -> dict[str, Any]:
    values = dict(found.values)
    conditions = values.get("sets_when", ())
    values["sets_when"] = tuple(condition for each in conditions for condition in each)
    return values


CHAPTER: Record[dict[str, Any]] = Record(
    "a chapter",
    _values,
    (
        Key("code", CODE, "the trouble code, perhaps with its failure type", "P0118", True),
        Key("title", TEXT, "what the code means", "Engine coolant temperature sensor 1 circuit high", True, ""),
        Key("set-by", NAME, "the module that stores the code", "M1", True, ""),
        Key("system", TEXT, "one of the vehicle's systems", "Engine management", True, ""),
        SERIES,
        Key("lamp", TEXT, "which lamp is on, and when", "Malfunction indicator on at the second trip"),
        Key("fail-safe", TEXT, "what the module does instead", "The module assumes 80 °C"),
        Key("meaning-source", TEXT, "who says what the code means", "Vehicle maker"),
        Key("revision", REVISION, "the edition of this page", "{number: 2, date: 2026-10-05}"),
        Key("sets-when", OneOrMore(SET_CONDITION), "when it sets", "{watch: M1.ECT, above: 4.85 V}"),
        Key("circuit", CIRCUIT, "parts and wires", "{grounds: {G1: Left strut tower}}", field="wiring"),
        Key("states", MapOf(STATE, TEXT), "states in which readings hold", "{cold: {key: on, B5: 20 °C}}"),
        Key("specs", ListOf(SPEC), "what instruments read",
            "[{volts: [M1-A.23, G1], state: {key: on}, reads: 2.4 to 2.6 V}]"),
        Key("waveforms", ListOf(WAVEFORM), "signals over time", "[{name: speed-signal, at: M7-A.5}]"),
        Key("suspects", ListOf(SUSPECT), "what can be wrong", "[{fault: open K131 at X12, chance: often}]"),
        Key("before-start", BEFORE_START, "what must be ready", "{conditions: none, tools: [T1]}"),
        Key("cautions", ListOf(CAUTION), "safety messages",
            "[{word: NOTICE, hazard: Static, consequence: Damage, avoid: Earth yourself}]"),
        Key("procedure", MapOf(STEP, NAME), "the steps by number",
            "{1: {do: Look at B5., then: {yes: 2, no: 3}}}", field="steps"),
        Key("after-repair", TEXTS, "what to do after the repair", "[Clear the code.]"),
        Key("related", CODES, "codes that come with this one", "[P0117]"),
        Key("figures", ListOf(FIGURE), "pictures", "[{id: photo, file: a.png, caption: Sensor, alt: A sensor}]"),
        Key("paths", ListOf(PATH), "paths through the circuit, each drawn in a heavy line",
            "[{id: return-path, circuits: [K200, Z141], caption: The way back to ground}]"),
        ACCEPT,
    ),
)  # fmt: skip
"""The keys of a chapter; gives the values for `model.chapter.Chapter` by field."""
