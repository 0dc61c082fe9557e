"""The picker of a fault as HTML: a list to choose from, and what a table's column would say with each choice.

It stays hidden where no script runs, and in print: the table then says what is healthy.
"""

from __future__ import annotations

import json

from authorkit.manual.blocks import FaultReadings
from authorkit.output.html.addresses import fragment
from authorkit.output.html.inline import View
from authorkit.output.html.markup import escape, tag
from authorkit.output.html.words import FRAME_WORDS


def picker_html(picker: FaultReadings, view: View) -> str:
    """The list, its answers in the file as numbers of texts, each text once."""
    texts: dict[str, int] = {}
    rows = [[texts.setdefault(cell, len(texts)) for cell in row] for row in picker.rows]
    name = view.claim(f"d{next(view.numbers)}-fault")
    groups = [
        tag("optgroup", *(tag("option", escape(words), value=str(row)) for words, row in options), label=thing)
        for thing, options in picker.groups
    ]
    healthy = f'<option value="" selected>{escape(FRAME_WORDS["no_fault"])}</option>'
    return tag(
        "div",
        tag("label", escape(picker.label), for_=name),
        tag("select", healthy, *groups, id=name, autocomplete="off"),
        tag("p", role="status"),
        class_="fault-picker",
        hidden=True,
        data_table=fragment(picker.table),
        data_column=str(picker.column),
        data_texts="|".join(text.replace("|", "/") for text in texts),
        data_rows=json.dumps(rows, separators=(",", ":")),
    )
