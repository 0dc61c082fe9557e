"""The procedure and what goes with it: steps, what to do before, cautions."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from authorkit.facts.node import Node, told_of
from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.form import AsWritten, OneOrMore, Pairs, key_node
from authorkit.facts.schema.measurements import SIDE, WATCHED, meter_keys, window_for
from authorkit.facts.schema.reader import Reader, one_of
from authorkit.facts.schema.record import Found, Key, OneOf, Record, into
from authorkit.facts.schema.scalars import (
    ANY_TEXT,
    ANY_WINDOW,
    NAME,
    NAMES,
    SIGNAL_WORD,
    TEXT,
    TEXTS,
    quantity_text,
    yes,
)
from authorkit.facts.schema.states import StateForm
from authorkit.model.caution import Caution
from authorkit.model.procedure import BeforeStart, Branch, Step, Test
from authorkit.model.specification import INSTRUMENTS
from authorkit.model.wiring import Series
from authorkit.units import Window

_WORDS = ("yes", "no", "else")
# Tests that may have a number or none: 'bright' is an answer, but '5 Vv' is a mistake.
_SEEN = ("scan", "lamp")
_LIKE_A_WINDOW = re.compile(r"\d|(?:above|below|at most|at least)\b|[<>≤≥±]", re.IGNORECASE)


@dataclass(frozen=True)
class Call:
    """A step that stands for a shared procedure, until the chapter is read as a whole.

    `node` is the step as written; `branches` lead on by the answers of the procedure.
    """

    number: str
    procedure: str
    branches: tuple[Branch, ...]
    series: Series
    node: Node


# What a step that calls may say; everything else comes from the shared procedure.
_OF_A_CALL = ("call", "with", "then", "series")


def _step(found: Found) -> Step | Call:
    values = dict(found.values)
    kind, tested = values.pop("test", ("", None))
    side = values.pop("side", "")
    named, said = values.pop("action")
    if named == "call":
        return _call(said, found)
    values.pop("arguments", None)
    values[named] = said
    values.setdefault("do", "")
    branches = values.pop("then", None)
    return Step(
        found.name,
        place=found.place,
        test=_test(kind, tested, side),
        branches=_branches(kind, branches, found.reader) if branches else (),
        **values,
    )


def _call(procedure: str, found: Found) -> Call:
    assert isinstance(found.node.value, dict)
    for name, child in found.node.value.items():
        if name not in _OF_A_CALL and name in STEP.by_name:
            found.reader.report(
                "call-mismatch",
                told_of(found.node, f"'{name}' has no place in a step that calls '{procedure}'."),
                child.key,
                found=name,
                expected=one_of(_OF_A_CALL),
                suggestion=f"Delete '{name}', or write it in the shared procedure.",
            )
    then = found.values.get("then")
    branches = _branches("", then, found.reader) if then else ()
    return Call(found.name, procedure, branches, found.values.get("series", ()), found.node)


def _test(kind: str, tested: Any, side: str) -> Test | None:
    if not kind:
        return None
    if not isinstance(tested, str):
        return Test(kind, tested, side=side)
    return Test(kind, watch=tested) if kind == "scan" and WATCHED.fullmatch(tested) else Test(kind, subject=tested)


def _branches(kind: str, node: Node, reader: Reader) -> tuple[Branch, ...]:
    assert isinstance(node.value, dict)
    found = (_branch(kind, child, reader) for child in node.value.values())
    return tuple(branch for branch in found if branch is not None)


def _branch(kind: str, node: Node, reader: Reader) -> Branch | None:
    answer, goto = node.name.strip(), reader.read(NAME, node)
    window: Window | None = None
    if not _in_words(kind, answer):
        key = key_node(node)
        window = window_for(kind, key, reader) if kind in INSTRUMENTS else reader.read(ANY_WINDOW, key)
        if window is None:
            return None
    return None if goto is None else Branch(answer, goto, node.key, window)


def _in_words(kind: str, answer: str) -> bool:
    """Whether an answer is words: always for yes, no and else; elsewhere only where no number is read."""
    if answer in _WORDS or kind == "look":
        return True
    return (not kind or kind in _SEEN) and _LIKE_A_WINDOW.match(answer) is None


_METERS = meter_keys()
_TESTS = (
    *_METERS,
    Key("look", TEXT, "what is looked at", "pins of B5"),
    Key("scan", TEXT, "the value that is read on the scan tool: MODULE.VALUE of a 'read', or words", "M1.ECT"),
)
_WITH = AsWritten(
    "a mapping from names to values such as {point: M1-A.2, ground: G1}",
    {"type": "object", "additionalProperties": ANY_TEXT},
    mapping=True,
)
_THEN = AsWritten(
    "a mapping from answers to steps such as {yes: 4, no: 5}",
    {"type": "object", "additionalProperties": ANY_TEXT},
    mapping=True,
)

STEP: Record[Step | Call] = Record(
    "a step",
    _step,
    (
        Key("do", TEXT, "what to do, one command a sentence", "Switch the key off. Unplug B5. Switch the key on."),
        Key("verdict", TEXTS, "what is at fault: a part, a circuit, a ground ...", "B5"),
        Key("end", TEXT, "an end that accuses nothing, as a sentence", "The fault is not present now."),
        Key("call", NAME, "a shared procedure of the vehicle notebook", "prove-ground"),
        Key("with", _WITH, "what the shared procedure needs", "{point: M1-A.2, ground: G1}", field="arguments"),
        Key("state", StateForm(), "the state that the vehicle is in then", "{key: on, unplug: B5}"),
        *_TESTS,
        SIDE,
        Key("question", TEXT, "the one question of the step", "What does the voltmeter read?"),
        Key("then", _THEN, "each answer and the step it leads to", "{4.9 to 5.1 V: 2, below 0.3 V: 4, else: 5}"),
        Key(
            "shows",
            Pairs(TEXT, TEXTS),
            "which faults bring an answer that nobody can compute; others bring one that is not listed here",
            "{no: [connector B5, open K131 at X12]}",
        ),
        Key("either", yes(), "the procedure cannot tell the accused apart", "yes"),
        Key("repair", TEXT, "how it is repaired", "Replace the sensor. Tighten it to 20 N·m."),
        Key("tools", NAMES, "ids of tools that the step needs", "[T2]"),
        SERIES,
    ),
    one_of=(
        OneOf(("do", "verdict", "end", "call"), "action"),
        OneOf(("with",), "arguments", required=False, when="call"),
        OneOf(tuple(key.name for key in _TESTS), "test", required=False),
    ),
)


def _before_start(found: Found) -> BeforeStart:
    return BeforeStart(**found.values)


BEFORE_START = Record(
    "the preparation",
    _before_start,
    (
        Key("conditions", TEXTS, "what must hold first; 'none' is written out", "Battery above 12.2 V"),
        Key("tools", NAMES, "ids of the tools that are needed, or none", "[T1]"),
        Key("parts", TEXTS, "parts that are needed, or none", "none"),
        Key("skill", TEXT, "who may do the work", "Technician"),
        Key("time", quantity_text("time"), "how long it takes", "20 min"),
    ),
)

CAUTION = Record(
    "a caution",
    into(Caution),
    (
        Key("word", SIGNAL_WORD, "how grave the harm may be", "CAUTION", True),
        Key("hazard", TEXT, "what can do harm", "The fan can start at any time.", True),
        Key("consequence", TEXT, "what can happen", "It can cut fingers.", True),
        Key("avoid", TEXTS, "how to avoid it", "Keep your hands clear of the blades.", True),
        Key("steps", OneOrMore(NAME), "the steps it guards; all, if left out", "[2, 3]"),
        SERIES,
    ),
)
