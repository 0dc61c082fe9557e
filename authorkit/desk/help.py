"""Help on the key or value under the cursor: what it means, what may stand there with which units, an example."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from authorkit.desk.cursor import Spot
from authorkit.desk.known_words import Around
from authorkit.desk.located import Origin
from authorkit.desk.slot import Slot, keys_for, records_of, spelt
from authorkit.desk.typing import Typing
from authorkit.facts.schema.devices import DEVICES
from authorkit.facts.schema.form import ListOf, MapOf, OneOrMore, Scalar
from authorkit.facts.schema.record import Key, Record
from authorkit.output.html.markup import escape, tag
from authorkit.units import DIMENSIONS, UNITS

_WORD_END = re.compile(r"[^\s,:\[\]{}'\"]*")
_MOST_UNITS = 12
# Kinds of names in the order in which a word is looked up.
_KINDS = ("cavity", "part", "connector", "ground", "splice", "fuse", "circuit", "code", "tool", "step", "reading")


@dataclass(frozen=True)
class Help:
    """An explanation in parts: a heading, sentences, and examples as they are typed."""

    heading: str
    sentences: tuple[str, ...]
    examples: tuple[str, ...] = ()

    @property
    def html(self) -> str:
        """For programs that show HTML."""
        said = [tag("p", escape(sentence), style="margin:2px 0") for sentence in self.sentences]
        typed = [tag("pre", escape(example), style="margin:4px 0;white-space:pre-wrap") for example in self.examples]
        return "\n".join([tag("div", tag("strong", escape(self.heading))), *said, *typed])

    @property
    def text(self) -> str:
        """For programs that show text."""
        return "\n".join([self.heading, *self.sentences, *(f"    {example}" for example in self.examples)])


def help_at(typing: Typing, source: str, offset: int, origin: Origin) -> Help | None:
    """The help for a cursor before character `offset` of a facts cell; None where there is nothing to say."""
    end = offset + _end_of_word(source[offset:])
    spot, slot, around = typing.around(source, end, origin, finished=True)
    if slot is None:
        return None
    is_key = spot.may_be in ("key", "either")
    if is_key and (key := _key_of(slot, spot)):
        return _of_key(*key)
    known = _of_name(spelt(spot), around) if around else None
    if known is not None:
        return known
    if is_key and not spot.typed:
        return _of_mapping(slot, spot)
    return _of_value(slot)


def _end_of_word(rest: str) -> int:
    found = _WORD_END.match(rest)
    return found.end() if found else 0


def _key_of(slot: Slot, spot: Spot) -> tuple[Record[Any], Key] | None:
    name = spelt(spot).rstrip(":")
    for record in records_of(slot.form, (*spot.keys, name)):
        if name in record.by_name:
            return record, record.by_name[name]
    return None


def _of_key(record: Record[Any], key: Key) -> Help:
    need = "must be there" if key.required else "may be left out"
    sentences = [
        f"{_capital(key.help)}.",
        f"A key of {record.what}; {need}.",
        f"Takes {key.form.words}.",
        *_units(key.form),
    ]
    group = next((group for group in record.one_of if key.name in group.names), None)
    if group is not None:
        sentences.append(f"Excludes {', '.join(name for name in group.names if name != key.name)}.")
    if key.name in DEVICES and DEVICES[key.name] is record:
        beside = ", ".join(each.name for each in record.keys[1:])
        sentences.append(f"Keys beside it: {beside}.")
    inner = next(iter(records_of(_inner(key.form))), None)
    if inner is not None and inner.extra is None and inner not in DEVICES.values():
        sentences.append(f"Keys inside: {', '.join(inner.by_name)}.")
    return Help(key.name, tuple(sentences), (f"{key.name}: {key.example}",))


def _of_mapping(slot: Slot, spot: Spot) -> Help | None:
    """What may stand where nothing is typed yet."""
    lines = tuple(f"{key.name}: {key.help}" for _, key in keys_for(slot, spot.keys))
    return Help("Keys that may stand here", lines) if lines else None


def _of_value(slot: Slot) -> Help | None:
    if slot.owner is not None and slot.said is not None:
        return _of_key(slot.owner, slot.said)
    words = getattr(slot.form, "words", "")
    return Help(slot.record or "value", (f"Takes {words}.", *_units(slot.form))) if words else None


def _of_name(word: str, around: Around) -> Help | None:
    """What the book knows under this name."""
    last = word.split(" ")[-1] if word else ""
    for text in dict.fromkeys((word, last)):
        for kind in _KINDS if text else ():
            name = around.names.find(kind, text, around.chapter)
            if name is not None:
                return Help(f"{kind} {name.label}", tuple(_about(kind, text, around)))
    return None


def _about(kind: str, name: str, around: Around) -> Iterator[str]:
    harness = around.harness
    if kind == "part" and (part := harness.part(name)):
        yield f"{_capital(part.kind)}. {part.location}".strip()
        plugs = [plug.id for plug in harness.whole_connectors.values() if plug.part == name]
        if plugs:
            yield f"Connectors: {', '.join(plugs)}."
    elif kind == "connector" and (plug := harness.connector(name)):
        yield f"{f'Plugs into {plug.part}' if plug.part else 'In-line'}; {len(plug.cavities)} cavities. {plug.location}"
    elif kind == "cavity":
        wires = [wire for point, found in harness.wires.items() if str(point) == name for wire in found]
        yield from dict.fromkeys(
            f"Wire {wire.circuit} {wire.colour}: {wire.ends[0]} to {wire.ends[1]}." for wire in wires
        )
    elif kind == "circuit":
        wires = [wire for wiring in around.book.wirings for wire in wiring.wires if wire.circuit == name]
        yield from dict.fromkeys(f"{wire.colour}: {wire.ends[0]} to {wire.ends[1]}." for wire in wires)
    elif kind == "code":
        yield around.names.listed_code(name) or ""


def _units(form: Any) -> Iterator[str]:
    """'Units: V, mV, kV.' where a number with a unit stands."""
    form = _inner(form)
    dimension = form.dimension if isinstance(form, Scalar) else ""
    if dimension in DIMENSIONS:
        symbols = [unit.symbol for unit in UNITS if unit.dimension == dimension]
        yield f"Units of {dimension}: {', '.join(symbols[:_MOST_UNITS])}."
    elif dimension:
        yield "With the unit of what is measured: V, A, Ω, Hz, s, % and their parts and multiples."


def _inner(form: Any) -> Any:
    while isinstance(form, (OneOrMore, ListOf, MapOf)):
        form = form.item
    return form


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
