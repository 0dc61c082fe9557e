"""`authorkit explain-codes P0118 P0533`: single faults that set these codes together, the best explanation first."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Iterator
from typing import Any

from authorkit.circuit.study import Studies
from authorkit.circuit.view import circuit_of
from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.commands.choice import NotFoundError, chosen_book, chosen_series, say_not_found
from authorkit.commands.folder import add_folder_argument
from authorkit.diagnosis.together import Explanation, Shared, effects_of, explanations, patterns, shared_faults
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `explain-codes`."""
    parser.add_argument("codes", metavar="CODE", nargs="*", help="the codes that are stored (none: every pattern)")
    add_folder_argument(parser)
    parser.add_argument("--series", metavar="ID", help="one series only (default: all)")
    parser.add_argument("--most", metavar="N", type=int, default=12, help="how many explanations (default: 12)")
    parser.add_argument("--json", action="store_true", help="a list of objects instead of text")


def run(options: argparse.Namespace) -> int:
    """Print the explanations, or without codes the table of patterns."""
    try:
        book = chosen_book(options.manual)
        codes = [_known(book, code) for code in options.codes]
        studies = Studies(book)
        faults = shared_faults(
            effect
            for chapter in book.chapters
            for series in _series(book, chapter, options.series)
            for effect in effects_of(studies.of(chapter, series), circuit_of(book, chapter, series))
        )
    except NotFoundError as error:
        say_not_found(error)
        return COULD_NOT_RUN
    if codes:
        rows = [_row(each) for each in explanations(faults, codes)[: options.most]]
        lines: Iterable[str] = (line for row in rows for line in _told(row))
    else:
        rows = [
            {"codes": list(pattern.codes), "faults": [_fault(fault) for fault in pattern.faults]}
            for pattern in patterns(faults)
        ]
        lines = (line for row in rows for line in _pattern(row))
    if options.json:
        print(json.dumps(rows, ensure_ascii=False, indent=1))
        return CLEAN
    for line in lines:
        print(line)
    if not rows:
        print("authorkit: no single fault of the book sets any of these codes", file=sys.stderr)
    return CLEAN


def _known(book: Book, code: str) -> str:
    """The code of a chapter; a code of the list alone has no set condition to compute. Raises NotFoundError."""
    chapter = book.chapter(code)
    if chapter is None:
        raise NotFoundError("chapter", code, [str(each.code) for each in book.chapters])
    return str(chapter.code)


def _series(book: Book, chapter: Chapter, wanted: str | None) -> tuple[str, ...]:
    """The series asked for, as far as the chapter holds on them. Raises NotFoundError for one that nobody knows."""
    known = book.vehicle.series_ids or ("",)
    if wanted is not None and wanted not in known:
        raise NotFoundError("series", wanted, known)
    every = chosen_series(book, chapter, None)
    return every if wanted is None else tuple(series for series in every if series == wanted)


def _fault(fault: Shared) -> dict[str, Any]:
    return {
        "fault": fault.fault,
        "sentence": fault.sentence,
        "thing": fault.thing,
        "series": fault.series,
        "sets": list(fault.sure),
        "may set": list(fault.maybe),
    }


def _row(each: Explanation) -> dict[str, Any]:
    return {
        **_fault(each.fault),
        "explains": list(each.explains),
        "leaves": list(each.leaves),
        "besides": list(each.besides),
    }


def _told(row: dict[str, Any]) -> Iterator[str]:
    yield f"{row['series']}  {row['fault']}: {row['sentence']}"
    yield f"     explains {', '.join(row['explains'])}"
    for words, key in (("does not explain", "leaves"), ("would also set", "besides")):
        if row[key]:
            yield f"     {words} {', '.join(row[key])}"
    others = sorted(set(row["may set"]) - set(row["explains"]))
    if others:
        yield f"     may also set {', '.join(others)}"


def _pattern(row: dict[str, Any]) -> Iterator[str]:
    yield f"{' + '.join(row['codes'])}"
    yield from (f"  {fault['series']}  {fault['fault']}: {fault['sentence']}" for fault in row["faults"])
