"""`authorkit faults CODE`: every single fault of a chapter's circuit, with its id and a sentence."""

from __future__ import annotations

import argparse
import json

from authorkit.circuit.readings import faults_in
from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.commands.choice import NotFoundError, add_code_argument, chosen_chapter, chosen_series, say_not_found


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `faults`."""
    add_code_argument(parser)
    parser.add_argument("--series", metavar="ID", help="one series only (default: all of the chapter)")
    parser.add_argument("--json", action="store_true", help="a list of objects instead of text")


def run(options: argparse.Namespace) -> int:
    """Print the faults."""
    try:
        book, chapter = chosen_chapter(options.code, options.manual)
        every = chosen_series(book, chapter, options.series)
    except NotFoundError as error:
        say_not_found(error)
        return COULD_NOT_RUN
    rows = [
        {"code": str(chapter.code), "series": series, "id": fault.id, "sentence": fault.sentence, "kind": fault.kind}
        for series in every
        for fault in faults_in(book, chapter, series)
    ]
    if options.json:
        print(json.dumps(rows, ensure_ascii=False, indent=1))
        return CLEAN
    width = max((len(row["id"]) for row in rows), default=0)
    for row in rows:
        print(f"{row['series']}  {row['id']:<{width}}  {row['sentence']}")
    return CLEAN
