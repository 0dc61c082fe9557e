"""`authorkit new CODE --circuit KIND`: a chapter notebook from a kind of circuit."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.commands.folder import add_folder_argument, manual_folder
from authorkit.facts.read_book import VEHICLE_FILE, read_book
from authorkit.problems import Problem
from authorkit.starters.chapter import NewChapter, new_chapter
from authorkit.starters.error import StarterError
from authorkit.starters.identity import Wish
from authorkit.starters.kinds import KINDS
from authorkit.starters.notebook import write_new
from authorkit.starters.template import scalar


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `new`."""
    parser.add_argument("code", nargs="?", metavar="CODE", help="the trouble code, such as P0118 or P0118-17")
    parser.add_argument("--circuit", metavar="KIND", help="the kind of circuit; --list names them")
    parser.add_argument("--module", metavar="ID", help="the module that stores the code (default: by the code list)")
    parser.add_argument("--title", help="what the code means (default: by the code list or the standard)")
    parser.add_argument(
        "--series", metavar="ID", action="append", default=[], help="limit the chapter to this series; may be repeated"
    )
    parser.add_argument("--list", action="store_true", help="list the kinds of circuits and stop")
    add_folder_argument(parser)


def run(options: argparse.Namespace) -> int:
    """Make the chapter; 2 if it cannot be made."""
    if options.list:
        _list_kinds()
        return CLEAN
    try:
        _make(options)
    except StarterError as error:
        print(f"authorkit: {error}", file=sys.stderr)
        return COULD_NOT_RUN
    return CLEAN


def _list_kinds() -> None:
    width = max(len(name) for name in KINDS) + 2
    for kind in KINDS.values():
        print(f"{kind.name:<{width}}{kind.words}")


def _make(options: argparse.Namespace) -> None:
    if options.code is None or options.circuit is None:
        raise StarterError("Name a code and a kind: authorkit new CODE --circuit KIND (--list shows the kinds).")
    folder = manual_folder(options.manual)
    book, reading = read_book(folder)
    if book is None:
        raise StarterError(f"{folder / VEHICLE_FILE} cannot be read; 'authorkit check' says why.")
    wish = Wish(options.code, options.circuit, options.module, options.title, tuple(options.series))
    made = new_chapter(book, wish)
    path = folder / made.file
    try:
        write_new(path, made.text)
    except FileExistsError as error:
        raise StarterError(f"There is something at {path} already; nothing was written.") from error
    _tell(path, made, reading)


def _tell(path: Path, made: NewChapter, reading: tuple[Problem, ...]) -> None:
    identity = made.identity
    print(path)
    if not identity.is_listed:
        title = scalar(identity.title)
        print(f"Add to 'codes' of {VEHICLE_FILE}: {identity.code}: {{title: {title}, set-by: {identity.module}}}")
    print("Replace what is marked TODO; 'authorkit check' finds every mark.")
    unread = sorted({problem.place.file for problem in reading if problem.severity == "error"})
    if unread:
        print(
            f"authorkit: names in what could not be read may be taken twice: {', '.join(unread)}",
            file=sys.stderr,
        )
