"""What may stand where the cursor is: the written form of the facts, walked down to the spot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from authorkit.desk.cursor import Level, Spot
from authorkit.facts.schema.devices import DEVICES, DeviceForm
from authorkit.facts.schema.form import AsWritten, ListOf, MapOf, OneOrMore, Pairs
from authorkit.facts.schema.points import PairList, Points, TwoNames
from authorkit.facts.schema.reader import Form
from authorkit.facts.schema.record import Key, Record
from authorkit.facts.schema.scalars import NAME, POINT
from authorkit.facts.schema.states import STATE, StateForm
from authorkit.facts.schema.wires import WireLine


@dataclass(frozen=True)
class WireText:
    """The text of one wire: circuit, colour, size, length."""

    words: str = "circuit, colour, size and perhaps length"


@dataclass(frozen=True)
class Slot:
    """A form, and whose value it is: `owner` is the mapping with known keys, `said` the key of it that leads here."""

    form: Any
    owner: Record[Any] | None = None
    said: Key | None = None

    @property
    def record(self) -> str:
        """What the mapping is called: 'a spec'."""
        return self.owner.what if self.owner else ""

    @property
    def key(self) -> str:
        """The name of the key, '' for one that the mapping does not list."""
        return self.said.name if self.said else ""

    def within(self, form: Any) -> Slot:
        """The same key's value, one step inside."""
        return Slot(form, self.owner, self.said)


def slot_of(root: Record[Any], levels: tuple[Level, ...]) -> Slot | None:
    """The slot that the levels lead to; None where the written form knows no such place."""
    slot = Slot(root)
    for level in levels:
        found = _down(slot, level)
        if found is None:
            return None
        slot = found
    return slot


def _down(slot: Slot, level: Level) -> Slot | None:
    form = slot.form
    if isinstance(level.step, int):
        return _item(slot, level.step)
    if isinstance(form, OneOrMore):
        return _down(slot.within(form.item), level)
    if isinstance(form, MapOf):
        return slot.within(form.item)
    if isinstance(form, Pairs):
        return slot.within(form.value)
    if isinstance(form, AsWritten) and form.mapping:
        return slot.within(NAME)
    for record in records_of(form, level.keys):
        key = record.by_name.get(level.step)
        if key is not None:
            return Slot(key.form, record, key)
        if record.extra is not None:
            return Slot(record.extra, record)
    return None


def _item(slot: Slot, index: int) -> Slot | None:
    """One step into a list."""
    form = slot.form
    if isinstance(form, (ListOf, OneOrMore)):
        return slot.within(form.item)
    if isinstance(form, Record) and form.short:
        key = form.by_name[form.short]
        return _item(Slot(key.form, form, key), index)
    if isinstance(form, WireLine):
        return slot.within(WireText() if index % 2 else POINT)
    if isinstance(form, PairList):
        return slot.within(Points(2, 2))
    if isinstance(form, Points):
        return slot.within(POINT)
    return slot.within(NAME) if isinstance(form, TwoNames) else None


def records_of(form: Form[Any] | Any, keys: tuple[str, ...] = ()) -> Iterator[Record[Any]]:
    """The records whose keys may stand in a mapping of this form; a device's by the keys that are there."""
    if isinstance(form, (OneOrMore, ListOf)):
        yield from records_of(form.item, keys)
    elif isinstance(form, Record):
        yield form
    elif isinstance(form, StateForm):
        yield STATE
    elif isinstance(form, DeviceForm):
        named = [DEVICES[key] for key in keys if key in DEVICES]
        yield from named or DEVICES.values()


def keys_for(slot: Slot, keys: tuple[str, ...]) -> Iterator[tuple[Record[Any], Key]]:
    """The keys that may still be added to a mapping: not those that are there, nor what these exclude."""
    is_new_device = any(isinstance(form, DeviceForm) for form in _inner(slot.form)) and not set(keys) & set(DEVICES)
    for record in records_of(slot.form, keys):
        if is_new_device:
            yield record, record.keys[0]
            continue
        excluded = {name for group in record.one_of if set(group.names) & set(keys) for name in group.names}
        yield from ((record, key) for key in record.keys if key.name not in keys and key.name not in excluded)


def _inner(form: Any) -> Iterator[Any]:
    yield form
    if isinstance(form, (OneOrMore, ListOf)):
        yield from _inner(form.item)


def spelt(spot: Spot) -> str:
    """What is typed, without its opening quote."""
    return spot.typed.lstrip("\"'")
