"""Devices inside a part: `{thermistor: [B5.1, B5.2], r25: 2.05 kΩ ± 2 %}`, by the table of device kinds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from authorkit.facts.node import Node, told_of
from authorkit.facts.schema.form import OneOrMore, Pairs, Schema
from authorkit.facts.schema.points import Points
from authorkit.facts.schema.reader import Form, Reader
from authorkit.facts.schema.record import Found, Key, Record
from authorkit.facts.schema.scalars import NAMES, POINT, RAIL, TEXT, choice, quantity
from authorkit.model.device_kinds import DEVICE_KINDS, DeviceKind
from authorkit.model.wiring import Device
from authorkit.problems.closest import closest, did_you_mean

SERIES = Key("series", NAMES, "the series of the vehicle that this holds for; all, if left out", "[A]")


def _form(takes: str) -> Form[Any]:
    """The form for a `takes` of the table of device kinds."""
    kind, _, rest = takes.partition(":")
    if kind == "choice":
        return choice(*rest.split("|"))
    if kind == "table":
        key, _, value = rest.partition(":")
        return Pairs(TEXT if key == "text" else quantity(key), quantity(value))
    words: dict[str, Form[Any]] = {"text": TEXT, "point": POINT, "rail": RAIL}
    return words[kind] if kind in words else quantity(takes)


def _terminals(kind: DeviceKind) -> Points:
    names = kind.terminals
    most = None if kind.more_terminals else len(names)
    return Points(len(names) - kind.optional_terminals, most, names, "device-malformed")


def _record(kind: DeviceKind) -> Record[Device]:
    example = ", ".join(f"X.{number}" for number, _ in enumerate(kind.terminals, 1))
    keys = [Key(kind.name, _terminals(kind), f"{kind.words}: its terminals", f"[{example}]", True, field="terminals")]
    keys += [
        Key(value.name, _form(value.takes), value.help, value.example, value.required, field=f"value {value.name}")
        for value in kind.values
    ]
    if all(value.name != "name" for value in kind.values):
        keys.append(Key("name", TEXT, "what the page calls it, where a part holds several", "fan motor"))

    def build(found: Found) -> Device:
        values = {key.removeprefix("value "): value for key, value in found.values.items() if key.startswith("value ")}
        named = {key: found.values[key] for key in ("name", "series") if key in found.values}
        return Device(kind.name, "", found.values["terminals"], found.place, values, **named)

    article = "an" if kind.words[0] in "aeiou" else "a"
    return Record(f"{article} {kind.words}", build, (*keys, SERIES), shared=False)


DEVICES: dict[str, Record[Device]] = {name: _record(kind) for name, kind in DEVICE_KINDS.items()}
"""The written form of each kind of device."""


@dataclass(frozen=True)
class DeviceForm:
    """One device: the key that is a kind says which. `part` stays '' here; the part that holds it is filled in."""

    words: str = "a device such as {resistor: [B5.1, B5.2], r: 120 Ω}"

    def read(self, node: Node, reader: Reader) -> Device | None:
        """The device; None if its kind, its terminals or a required value cannot be read."""
        if not isinstance(node.value, dict):
            reader.wrong_type(node, self.words, "mapping")
            return None
        kinds = _kinds(node.value)
        if len(kinds) == 1:
            return DEVICES[kinds[0]].read(node, reader)
        if kinds:
            self._several(node, kinds, reader)
        else:
            self._unknown(node, reader)
        return None

    def schema(self, defs: dict[str, Any]) -> Schema:
        """Any one of the kinds."""
        if "device" not in defs:
            defs["device"] = {"anyOf": [record.schema(defs) for record in DEVICES.values()]}
        return {"$ref": "#/$defs/device"}

    def _several(self, node: Node, kinds: list[str], reader: Reader) -> None:
        assert isinstance(node.value, dict)
        reader.report(
            "device-malformed",
            told_of(node, f"'{kinds[0]}' and '{kinds[1]}' are two devices in one item."),
            node.value[kinds[1]].key,
            found=", ".join(kinds),
            expected="one device in each item",
            suggestion=f"Write '{kinds[1]}' as an item of its own.",
        )

    def _unknown(self, node: Node, reader: Reader) -> None:
        assert isinstance(node.value, dict)
        names = [*node.value] or [""]
        near = [(name, closest(name, DEVICES)) for name in names]
        name, meant = next((pair for pair in near if pair[1]), near[0])
        reader.report(
            "device-malformed",
            told_of(node, f"found '{name}', which is no kind of device." if name else "the device is empty."),
            node.value[name].key if name in node.value else node.key,
            found=name or "nothing",
            expected=f"one of {', '.join(DEVICES)}",
            suggestion=did_you_mean(meant) or "Write one of these as the key of the device's terminals.",
        )


def _kinds(written: dict[str, Node]) -> list[str]:
    """The keys that name a kind, without those that are a value of another (`clamp` in `{coil: ..., clamp: diode}`)."""
    kinds = [name for name in written if name in DEVICES]
    if len(kinds) < 2:
        return kinds
    return [name for name in kinds if not any(name in DEVICES[other].by_name for other in kinds if other != name)]


INSIDE = OneOrMore(DeviceForm())
