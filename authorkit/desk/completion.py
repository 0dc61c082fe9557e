"""Completion in a facts cell: keys by position, and the words, points, units and colours that may stand there."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from authorkit.desk.cursor import Spot
from authorkit.desk.known_words import (
    OF_KEY,
    OF_NAMES,
    Around,
    Offer,
    colours,
    connectors_of_part,
    free_cavities,
    points,
    state_settings,
    wire_texts,
)
from authorkit.desk.located import Origin
from authorkit.desk.slot import Slot, WireText, keys_for, records_of, spelt
from authorkit.desk.typing import Typing
from authorkit.facts.schema.form import AsWritten, ListOf, MapOf, OneOrMore, Scalar
from authorkit.facts.schema.points import PairList, Points
from authorkit.facts.schema.record import Key
from authorkit.facts.schema.scalars import POINT, RAIL
from authorkit.facts.schema.states import STATE
from authorkit.model.specification import INSTRUMENTS
from authorkit.units import UNITS

_REFERENCE = re.compile(r"\{(?P<kind>[a-z]*)(?P<colon>:?)(?P<target>[^{}:]*)$")
_REFERENCE_KINDS = (
    "cavity", "circuit", "code", "connector", "figure", "fuse", "ground", "part", "reading", "section", "splice",
    "step", "term", "tool",
)  # fmt: skip
_NUMBER = re.compile(r"(?P<number>[-+−]?\d+(?:\.\d+)?)(?P<space> ?)(?P<unit>[^\d\s]*)$")
_ANY_DIMENSION = ("voltage", "resistance", "current", "frequency", "time", "ratio", "temperature")
_SIZES = ("0.35 mm2", "0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "18 AWG", "16 AWG")


@dataclass(frozen=True)
class Completions:
    """What may replace the text between two offsets of the cell."""

    start: int
    end: int
    offers: tuple[Offer, ...]


def complete(typing: Typing, source: str, offset: int, origin: Origin, *, loosely: bool = True) -> Completions:
    """The words that fit at the cursor (an offset from 0): those that begin with what is typed.

    `loosely` counts them whatever their case, and takes those that hold what is typed where none begins with it.
    """
    spot, slot, around = typing.around(source, offset, origin)
    nothing = Completions(offset, offset, ())
    if slot is None:
        return nothing
    for fragment, offers in _proposals(spot, slot, around):
        fitting = _fitting(fragment, offers, loosely=loosely)
        if fitting:
            return Completions(offset - len(fragment), offset, _without_colon(fitting, source[offset:]))
    return nothing


def _without_colon(offers: tuple[Offer, ...], rest: str) -> tuple[Offer, ...]:
    """A key that is being renamed has its colon already."""
    if not rest.startswith(":"):
        return offers
    return tuple(Offer(offer.text.rstrip(": "), offer.about) for offer in offers)


def _fitting(fragment: str, offers: Iterable[Offer], *, loosely: bool) -> tuple[Offer, ...]:
    typed = fragment.casefold()
    each = {offer.text: offer for offer in offers if offer.text != fragment}
    if not loosely:
        return tuple(offer for offer in each.values() if offer.text.startswith(fragment))
    begin = [offer for offer in each.values() if offer.text.casefold().startswith(typed)]
    return tuple(begin or (offer for offer in each.values() if typed in offer.text.casefold()))


Proposal = tuple[str, Iterable[Offer]]


def _proposals(spot: Spot, slot: Slot, around: Around | None) -> Iterator[Proposal]:
    """Fragments and what may replace them, the likeliest first."""
    reference = _REFERENCE.search(spot.typed)
    if spot.may_be == "value" and reference and around is not None:
        yield from _references(reference, around)
    if spot.may_be in ("key", "either"):
        yield from _keys(spot, slot, around)
    if spot.may_be in ("value", "either"):
        yield from _values(spot, slot, around)


def _references(found: re.Match[str], around: Around) -> Iterator[Proposal]:
    kind, target = found["kind"], found["target"]
    if not found["colon"]:
        yield kind, (Offer(f"{each}:", "reference") for each in _REFERENCE_KINDS)
        return
    known = around.names.known(kind, around.chapter)
    named = ((each, around.names.find(kind, each, around.chapter)) for each in known)
    yield target, (Offer(f"{each}}}", name.label if name else kind) for each, name in named)


def _keys(spot: Spot, slot: Slot, around: Around | None) -> Iterator[Proposal]:
    fragment = spot.typed
    form = slot.form.item if isinstance(slot.form, OneOrMore) else slot.form
    if slot.key == "connectors" and slot.record in ("a part", "a module") and around is not None:
        if isinstance(form, MapOf):
            yield fragment, _once(spot, connectors_of_part(around))
        else:
            yield fragment, _once(spot, _quoted(free_cavities(around, around.steps[-1])))
    settings: Iterable[Offer] = ()
    if around is not None and STATE in records_of(slot.form):
        settings = _once(spot, state_settings(around))
    yield fragment, (*(_key_offer(key) for _, key in keys_for(slot, spot.keys)), *settings)
    if around is not None and isinstance(form, MapOf):
        lister = OF_NAMES.get(slot.key)
        yield fragment, _once(spot, lister(around) if lister else ())
    if isinstance(form, AsWritten) and form.mapping:
        yield fragment, _once(spot, (Offer(word, "answer") for word in ("yes", "no", "else")))
        yield from _units(fragment, _answer_dimension(spot))


def _once(spot: Spot, offers: Iterable[Offer]) -> Iterator[Offer]:
    return (offer for offer in offers if offer.text.strip("\"'") not in spot.keys)


def _quoted(offers: Iterable[Offer]) -> Iterator[Offer]:
    return (Offer(f'"{offer.text}"', offer.about) for offer in offers)


def _key_offer(key: Key) -> Offer:
    """A key with its colon; behind one whose value usually stands on lines of its own comes no space."""
    form = key.form
    below = isinstance(form, (MapOf, ListOf)) or (isinstance(form, OneOrMore) and not isinstance(form.item, Scalar))
    return Offer(f"{key.name}:" if below else f"{key.name}: ", key.help)


def _values(spot: Spot, slot: Slot, around: Around | None) -> Iterator[Proposal]:
    form = slot.form.item if isinstance(slot.form, OneOrMore) else slot.form
    fragment = spelt(spot)
    if isinstance(form, WireText):
        yield from _wire(fragment, around)
        return
    enum = form.shape.get("enum") if isinstance(form, (Scalar, AsWritten)) else None
    if enum:
        yield fragment, (Offer(str(word), "choice") for word in enum)
        return
    if around is not None and (form in (POINT, RAIL) or isinstance(form, (Points, PairList))):
        yield fragment, points(around, fragment)
    if around is not None and slot.key in OF_KEY:
        yield fragment, OF_KEY[slot.key](around)
    if around is not None and slot.key == "colour":
        yield fragment, colours(around)
    yield from _units(fragment, _dimension(spot, form, slot))


def _wire(typed: str, around: Around | None) -> Iterator[Proposal]:
    """The text of a wire, word by word."""
    *before, word = typed.split(" ")
    place = len([each for each in before if each])
    if around is None:
        return
    if place == 0:
        yield word, wire_texts(around)
    elif place == 1:
        base, slash, stripe = word.partition("/")
        yield (stripe if slash else base), colours(around)
    elif place == 2:
        yield word, (Offer(size, "size") for size in _SIZES)
    else:
        yield from _units(typed, "length" if place > 3 or len(before) > 4 else "area")


def _dimension(spot: Spot, form: Any, slot: Slot) -> str:
    """What a number here measures: as the form says, or the instrument that stands beside it."""
    if isinstance(form, AsWritten):
        return _instrument_dimension(spot.levels[-1].keys) if spot.levels else ""
    if isinstance(form, Scalar) and form.dimension:
        return form.dimension
    return "any" if slot.key in ("", "values", "limits") or slot.form is RAIL else ""


def _answer_dimension(spot: Spot) -> str:
    """What the answers of a step measure."""
    return _instrument_dimension(spot.levels[-1].keys) if spot.levels else "any"


def _instrument_dimension(keys: tuple[str, ...]) -> str:
    return next((INSTRUMENTS[key][1] for key in keys if key in INSTRUMENTS), "any")


def _units(typed: str, dimension: str) -> Iterator[Proposal]:
    """Behind a number, the units that may follow it."""
    number = _NUMBER.search(typed)
    if number is None or not dimension:
        return
    wanted = _ANY_DIMENSION if dimension == "any" else (dimension,)
    units = (unit for unit in UNITS if unit.dimension in wanted and unit.symbol.startswith(number["unit"]))
    fragment = number.group()
    gap = "" if number["unit"] and not number["space"] else " "
    yield fragment, (Offer(f"{number['number']}{gap}{unit.symbol}", unit.name) for unit in units)
