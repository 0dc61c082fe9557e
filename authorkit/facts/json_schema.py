"""The JSON Schema (draft 2020-12) of the written form, for editors and other tools."""

from __future__ import annotations

from typing import Any, Literal

from authorkit.facts.schema.chapter import CHAPTER
from authorkit.facts.schema.recipe import RECIPE
from authorkit.facts.schema.record import Record
from authorkit.facts.schema.vehicle import VEHICLE

Kind = Literal["chapter", "vehicle", "recipe"]

_KINDS: dict[Kind, Record[Any]] = {"chapter": CHAPTER, "vehicle": VEHICLE, "recipe": RECIPE}


def json_schema(kind: Kind | None = None) -> dict[str, Any]:
    """The schema of one kind of facts, or of any of the three.

    It knows keys, types and choices, which an editor can check while one types; what the values mean (units, codes,
    states, colours) only the reader knows.
    """
    defs: dict[str, Any] = {}
    records = [_KINDS[kind]] if kind else list(_KINDS.values())
    forms = [record.schema(defs) for record in records]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Facts of {records[0].what}" if kind else "Facts of a manual",
        **(forms[0] if kind else {"anyOf": forms}),
        "$defs": dict(sorted(defs.items())),
    }
