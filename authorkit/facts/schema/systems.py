"""The systems of a vehicle: a list of names, or each name with the modules that belong to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from authorkit.facts.node import Node
from authorkit.facts.schema.form import OneOrMore, Pairs, Scalar, Schema
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.record import Key, Record
from authorkit.facts.schema.scalars import NAMES, TEXT

System = tuple[str, tuple[str, ...]]
"""A system's name and the ids of its modules."""

_SYSTEM: Record[tuple[str, ...]] = Record(
    "a system",
    lambda found: found.values.get("modules", ()),
    (Key("modules", NAMES, "its modules, beside those that its chapters speak of", "[M1, M8]"),),
)
_BY_NAME = Pairs(TEXT, _SYSTEM)


@dataclass(frozen=True)
class Systems(OneOrMore[Any]):
    """A list of systems, one system, or systems as keys."""

    item: Scalar[str] = TEXT

    @property
    def words(self) -> str:
        """What may stand here."""
        return "a list of systems, or systems with their modules such as {Cooling: {modules: [M1, M8]}}"

    def read(self, node: Node, reader: Reader) -> tuple[System, ...]:
        """Every system that can be read, in the order in which they are written."""
        if isinstance(node.value, dict):
            return _BY_NAME.read(node, reader) or ()
        return tuple((name, ()) for name in super().read(node, reader))

    def schema(self, defs: dict[str, Any]) -> Schema:
        """A text, an array of texts, or an object."""
        return {"anyOf": [*super().schema(defs)["anyOf"], _BY_NAME.schema(defs)]}
