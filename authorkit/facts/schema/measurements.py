"""When the code sets, what instruments read, how signals look, what the author suspects."""

from __future__ import annotations

import re
from dataclasses import replace

from authorkit.facts.node import Node
from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.form import AsWritten, Pairs, RefusalError, Scalar
from authorkit.facts.schema.points import Points
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.record import Found, Key, OneOf, Record, into
from authorkit.facts.schema.scalars import (
    ANY_TEXT,
    ANY_WINDOW,
    BOUND,
    POINT,
    TEXT,
    TEXTS,
    WITH_UNIT,
    choice,
    quantity,
    window,
)
from authorkit.facts.schema.states import StateForm
from authorkit.model.specification import INSTRUMENTS, SIDES, WAVEFORM_SHAPES, SetCondition, Spec, Suspect, Waveform
from authorkit.units import Bound, Quantity, Window, parse_quantity

_LIMITS = ("above", "below", "at-least", "at-most", "within", "outside")


# A value that a read device names: MODULE.VALUE.
WATCHED = re.compile(r"[^\s.]+\.[^\s.]+")


def _watch(text: str, _: Reader) -> str:
    module, dot, value = text.partition(".")
    if module and dot and value and " " not in module:
        return text
    raise RefusalError(text, "MODULE.VALUE such as 'M1.ECT'", ".".join(text.split()) if " " in text else None)


def _set_conditions(found: Found) -> tuple[SetCondition, ...]:
    """One condition; two for a value that must stay outside of a range."""
    values = dict(found.values)
    kind, limit = values.pop("limit", ("", None))
    named, text = values.pop("said")
    values[named] = text
    condition = SetCondition(found.place, **values)
    return tuple(replace(condition, window=window) for window in _windows(kind, limit))


def _windows(kind: str, limit: Bound | Window | None) -> tuple[Window | None, ...]:
    if isinstance(limit, Window):
        if kind == "within":
            return (limit,)
        below = Window(None, limit.low, high_inclusive=not limit.low_inclusive) if limit.low else None
        above = Window(limit.high, None, low_inclusive=not limit.high_inclusive) if limit.high else None
        return tuple(each for each in (below, above) if each)
    inclusive = kind.startswith("at-")
    if kind in ("above", "at-least"):
        return (Window(limit, None, low_inclusive=inclusive),)
    return (Window(None, limit, high_inclusive=inclusive),) if kind else (None,)


SET_CONDITION = Record(
    "a set condition",
    _set_conditions,
    (
        Key("watch", Scalar("MODULE.VALUE such as 'M1.ECT'", _watch, ANY_TEXT), "the value that is watched", "M1.ECT"),
        Key("text", TEXT, "the condition in words, where nothing can be computed", "No message from M7 for 500 ms"),
        Key("above", BOUND, "it sets above this limit", "4.85 V"),
        Key("below", BOUND, "it sets below this limit", "0.15 V"),
        Key("at-least", BOUND, "it sets at this limit and above", "4.85 V"),
        Key("at-most", BOUND, "it sets at this limit and below", "0.15 V"),
        Key("within", ANY_WINDOW, "it sets inside this range", "2.4 to 2.6 V"),
        Key("outside", ANY_WINDOW, "it sets below and above this range", "0.5 to 4.5 V"),
        Key("lasting", quantity("time"), "how long it must last", "2 s"),
        Key("during", StateForm(), "the state in which the value is watched", "{key: on}"),
        Key("trips", TEXT, "how many trips in a row", "2"),
        Key("source", TEXT, "where the condition comes from", "Vehicle maker"),
        SERIES,
    ),
    one_of=(OneOf(("watch", "text"), "said"), OneOf(_LIMITS, "limit", when="watch")),
)


def meter_points(kind: str) -> Points:
    """The points that an instrument is held to: one for a clamp, two or three to prove absence, two otherwise."""
    if kind == "amps":
        return Points(1, 1)
    return Points(2, 3) if kind == "absence" else Points(2, 2)


def meter_keys(*without: str) -> tuple[Key, ...]:
    """A key for each instrument, with the points it is held to."""
    return tuple(
        Key(kind, meter_points(kind), f"points of the {words}", "FB1-C.1" if kind == "amps" else "[M1-A.23, G1]")
        for kind, (words, _) in INSTRUMENTS.items()
        if kind not in without
    )


def window_for(kind: str, node: Node, reader: Reader) -> Window | None:
    """A window in the dimension that the instrument measures."""
    return reader.read(window(INSTRUMENTS[kind][1]), node)


def _spec(found: Found) -> Spec | None:
    values = dict(found.values)
    kind, points = values.pop("meter")
    reads = window_for(kind, values.pop("reads"), found.reader)
    if reads is None:
        return None
    to = points[1] if len(points) > 1 else None
    return Spec(kind, points[0], to, reads=reads, place=found.place, **values)


SIDE = Key(
    "side",
    choice(*SIDES),
    "where it is held at a plug that is off; if left out: the harness, but the part for ohms across it",
    "part",
)
_SPEC_METERS = meter_keys("absence")
SPEC = Record(
    "a spec",
    _spec,
    (
        *_SPEC_METERS,
        Key("state", StateForm(), "the state in which it is measured", "cold", True),
        Key("reads", AsWritten("a range such as '4.9 to 5.1 V'", WITH_UNIT), "what it reads", "2.4 to 2.6 V", True),
        SIDE,
        Key("name", TEXT, "a name for references in the prose", "signal-cold"),
        Key("source", TEXT, "where the value comes from, if the circuit does not give it", "shop rule"),
        SERIES,
    ),
    one_of=(OneOf(tuple(key.name for key in _SPEC_METERS), "meter"),),
)


def _value(text: str, _: Reader) -> Quantity | str:
    """A parameter of a waveform: a quantity if it starts like one, else a word. Digits alone are a pattern ('0100')."""
    is_word = text[:1] not in "0123456789.+-" or not set(text) - set("0123456789ABCDEF ")
    return text if is_word else parse_quantity(text)


def _waveform(found: Found) -> Waveform:
    values = dict(found.values)
    values.setdefault("to", None)
    return Waveform(place=found.place, **values)


WAVEFORM = Record(
    "a waveform",
    _waveform,
    (
        Key("name", TEXT, "a name for references and the figure", "speed-signal", True),
        Key("at", POINT, "where the probe is held", "M7-A.5", True),
        Key("to", POINT, "where the ground clip is", "M7-A.6"),
        Key("state", StateForm(), "the state in which it is recorded", "rolling"),
        Key("shape", choice(*WAVEFORM_SHAPES), "the kind of signal", "square"),
        Key("values", Pairs(TEXT, Scalar("a quantity or a word", _value, ANY_TEXT)), "its parameters", "{low: 0.2 V}"),
        Key("limits", Pairs(TEXT, ANY_WINDOW), "measured values and their ranges", "{frequency: 110 to 130 Hz}"),
        Key("capture", TEXT, "a file of samples below figures/", "speed-120hz.csv"),
        Key("channels", TEXTS, "channels of the capture by name, the first one being 1", "[CH2, CH1]"),
        SERIES,
    ),
)

SUSPECT = Record(
    "a suspect",
    into(Suspect),
    (
        Key("fault", TEXT, "what is wrong with which thing, perhaps at which point", "open K131 at X12", True),
        Key("chance", choice("often", "sometimes", "seldom"), "how often it happens", "often"),
        Key("because", TEXT, "why", "X12 sits in the splash zone"),
        SERIES,
    ),
)
