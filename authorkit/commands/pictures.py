"""`authorkit pictures`: every picture of the manual as a file, and all of them on a contact sheet."""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from pathlib import Path

from authorkit.commands import CLEAN, FINDINGS
from authorkit.commands.folder import Lines, manual_folder
from authorkit.drawing.store import PictureStore
from authorkit.facts.read_book import read_book
from authorkit.manual.compose import compose
from authorkit.output.picture_files import picture_files, write_sheet
from authorkit.problems import Problem
from authorkit.problems.show import show_problem
from authorkit.store import KeptFiles

_OUT = Path("build") / "out"
SHEET = "contact-sheet.pdf"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `pictures`."""
    parser.add_argument(
        "manual",
        metavar="FOLDER",
        type=Path,
        nargs="?",
        help="the manual's folder (default: this one, or the nearest above it that holds chapters/vehicle.ipynb)",
    )
    parser.add_argument("--sheet", action="store_true", help="also a contact sheet: all of them on a few pages, as PDF")


def run(options: argparse.Namespace) -> int:
    """Write the pictures; 1 if findings stand in the way of any of them. What can be drawn is written all the same."""
    folder = manual_folder(options.manual)
    book, problems = read_book(folder)
    found = list(problems)
    if book is not None:
        manual, more = compose(book, (), PictureStore(KeptFiles(folder / _OUT / ".cache" / "kept")))
        found += more
        target = folder / _OUT / "pictures"
        pictures = picture_files(manual)
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".pictures-", dir=target.parent) as aside:
            fresh = Path(aside) / "new"
            fresh.mkdir()
            for picture in pictures:
                (fresh / picture.name).write_bytes(picture.figure.data)
            if options.sheet:
                write_sheet(manual, fresh / SHEET)
            if target.exists():
                shutil.rmtree(target)
            fresh.rename(target)
        print(f"{len(pictures)} pictures: {target}")
        if options.sheet:
            print(f"Contact sheet: {target / SHEET}")
    return _told(found, folder)


def _told(problems: list[Problem], folder: Path) -> int:
    """The findings of reading and drawing; 'authorkit check' tells all others."""
    lines = Lines(folder)
    for problem in problems:
        sys.stderr.write(show_problem(problem, lines.line_of) + "\n")
    return FINDINGS if problems else CLEAN
