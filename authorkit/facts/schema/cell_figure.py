"""The head of a code cell whose picture goes into the page: lines that begin with '#|'."""

from __future__ import annotations

from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.record import Found, Key, Record
from authorkit.facts.schema.scalars import NAME, TEXT
from authorkit.model.chapter import CellFigure


def _cell_figure(found: Found) -> CellFigure:
    assert isinstance(found.node.value, dict)
    return CellFigure(place=found.node.value["figure"].key, **found.values)


CELL_FIGURE = Record(
    "a figure cell",
    _cell_figure,
    (
        Key("figure", NAME, "its name for references", "speed-trace", True, field="id"),
        Key("caption", TEXT, "the line below it", "Speed signal at 120 Hz", True),
        Key("alt", TEXT, "what it shows, for those who do not see it", "A square wave, 120 times a second", True),
        SERIES,
    ),
)
"""What the lines `#| key: value` may say."""
