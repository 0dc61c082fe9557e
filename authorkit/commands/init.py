"""`authorkit init DIR`: a new manual."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.starters.error import StarterError
from authorkit.starters.manual import EXAMPLE_NAME, make_manual


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `init`."""
    parser.add_argument("folder", metavar="DIR", type=Path, help="the folder of the new manual; it may exist")
    parser.add_argument("--name", default=EXAMPLE_NAME, help=f"what the vehicle is called (default: {EXAMPLE_NAME})")


def run(options: argparse.Namespace) -> int:
    """Make the manual; 2 if something is in the way."""
    try:
        paths = make_manual(options.folder, options.name)
    except (StarterError, FileExistsError) as error:
        print(f"authorkit: {_sentence(error)}", file=sys.stderr)
        return COULD_NOT_RUN
    for path in paths:
        print(path)
    print(f"Next: authorkit check --manual {options.folder}")
    return CLEAN


def _sentence(error: StarterError | FileExistsError) -> str:
    if isinstance(error, FileExistsError):
        return f"There is something at {error.filename} already; nothing was written."
    return str(error)
