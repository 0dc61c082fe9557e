"""States of the vehicle: named ones, and those written where they are needed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from authorkit.facts.node import Node, told_of
from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.form import Schema
from authorkit.facts.schema.points import PairList
from authorkit.facts.schema.reader import Reader, one_of
from authorkit.facts.schema.record import Found, Key, Record
from authorkit.facts.schema.scalars import ANY_TEXT, NAMES, TEXT, choice, quantity
from authorkit.model.specification import State
from authorkit.problems.closest import closest, did_you_mean


def _state(found: Found) -> State:
    in_states = found.node.path.startswith("states.")
    return State(name=found.name if in_states else "", place=found.place, **found.values)


STATE = Record(
    "a state",
    _state,
    (
        Key("key", choice("off", "on", "run", "crank"), "position of the key", "on"),
        Key("unplug", NAMES, "connectors that are unplugged", "B5", field="unplugged"),
        Key("pull", NAMES, "fuses that are pulled", "F4", field="pulled"),
        Key("jumper", PairList(), "points that are joined by a jumper wire", "[[B5.1, B5.2]]", field="jumpers"),
        Key("battery", quantity("voltage"), "voltage of the battery", "12.6 V"),
        Key("disconnect", choice("open", "closed"), "the service disconnect", "open"),
        SERIES,
    ),
    extra=TEXT,
    extra_field="settings",
)


@dataclass(frozen=True)
class StateForm:
    """The name of a state, or a state written out."""

    words: str = "the name of a state, or a mapping such as {key: on, B5: 20 °C}"

    def read(self, node: Node, reader: Reader) -> State | None:
        """The state; a name is looked up among the chapter's `states`."""
        if isinstance(node.value, str):
            return _named(node.value.strip(), node, reader)
        return STATE.read(node, reader)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """A text or a state."""
        return {"anyOf": [ANY_TEXT, STATE.schema(defs)]}


def _named(name: str, node: Node, reader: Reader) -> State | None:
    written = reader.states.get(name)
    if written is None:
        names = list(reader.states)
        reader.report(
            "state-unknown",
            told_of(node, f"the state '{name}' is not among the states of this chapter."),
            node.place,
            found=name,
            expected=one_of(names) if names else "a state written out, such as {key: on}",
            suggestion=did_you_mean(closest(name, names)) or f"Add '{name}' to 'states', or write the state out.",
        )
        return None
    if name not in reader.known_states:
        # What is wrong with it is reported once, where it is written.
        reader.known_states[name] = replace(reader, problems=[]).read(STATE, written)
    return reader.known_states[name]
