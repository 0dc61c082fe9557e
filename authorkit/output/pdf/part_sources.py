"""What each part is typeset from, as the files that the typesetter reads."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime

from authorkit.manual.blocks import Manual
from authorkit.model.book import PageSize
from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.output.pdf.checks import page_anchors
from authorkit.output.pdf.parts import Part
from authorkit.output.pdf.typst_sheet import Sheet
from authorkit.output.tokens import theme_file

_MAIN = b"""#import "manual.typ": manual, part-map
#show: manual
#include "page.typ"
#part-map(json("names.json"))
"""


def parts_of(manual: Manual, written: Iterable[tuple[Sheet, str]], page_size: PageSize) -> list[Part]:
    """A part for each page of the model; `written` are the pages with the text of their files."""
    common = {name: theme_file(name) for name in ("manual.typ", "tokens.json")}
    common |= {"main.typ": _MAIN, "signals.json": _json(_signals()), "book.json": _json(_book(manual, page_size))}
    return [_part(sheet, text, common, _midnight(manual.date)) for sheet, text in written]


def _part(sheet: Sheet, text: str, common: dict[str, bytes], timestamp: int) -> Part:
    names = tuple(_placed(sheet))
    own = {"page.typ": text.encode("utf-8"), "names.json": _json(names)}
    pictures = {path.lstrip("/"): data for path, data in sheet.files.items()}
    return Part(
        anchor=sheet.page.anchor,
        files={**common, **own, **pictures},
        names=names,
        printed=tuple(sorted(sheet.printed.difference(names))),
        row_heads=tuple(sheet.row_heads),
        turned=tuple(sheet.turned),
        contents=sheet.contents,
        timestamp=timestamp,
    )


def _placed(sheet: Sheet) -> Iterator[str]:
    """The names whose places are asked for, each once."""
    sections = (section.anchor for section in sheet.sections)
    marks = (mark.name for mark in sheet.marks)
    yield from dict.fromkeys([*page_anchors(sheet.page), *sections, *marks, *sheet.turned])


def _midnight(day: str) -> int:
    """Seconds of the epoch at the beginning of a day (UTC): the time that the file says it was made."""
    return int(datetime.fromisoformat(day).replace(tzinfo=UTC).timestamp())


def _json(data: object) -> bytes:
    return json.dumps(data, ensure_ascii=False, sort_keys=True).encode("utf-8")


def _signals() -> dict[str, dict[str, str | bool]]:
    """The panels of the signal words, for the theme."""
    return {
        signal.word: {
            "panel": signal.panel,
            "text": signal.ink,
            "alert": signal.alert_symbol,
            "italic": signal.italic,
        }
        for signal in SIGNAL_WORDS.values()
    }


def _book(manual: Manual, page_size: PageSize) -> dict[str, str | list[str] | None]:
    """What belongs to the whole manual; the language as 'en' or 'en-GB'."""
    language, _, region = manual.language.partition("-")
    return {
        "title": manual.title,
        "publisher": manual.publisher,
        "date": manual.date,
        "lang": language.lower(),
        "region": region or None,
        "systems": list(manual.systems),
        "page-size": page_size,
    }
