"""`authorkit desk [FOLDER]`: JupyterLab on the manual, with facts cells that show what they come to."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from authorkit.commands import COULD_NOT_RUN
from authorkit.commands.folder import manual_folder
from authorkit.desk.lab import NoLabError, lab_command, lab_environment, settings_folder
from authorkit.facts.read_book import CHAPTERS, chapter_files
from authorkit.problems.closest import closest, did_you_mean


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `desk`."""
    parser.add_argument(
        "folder",
        metavar="FOLDER",
        nargs="?",
        type=Path,
        help="the manual's folder (default: this one, or the nearest above it that holds chapters/vehicle.ipynb)",
    )
    parser.add_argument("--chapter", metavar="CODE", help="open this chapter at once")
    parser.add_argument("--no-browser", action="store_true", help="start the server only; it prints the address")
    parser.add_argument("--port", metavar="N", type=int, help="the port to listen on (default: the next free one)")


def run(options: argparse.Namespace) -> int:
    """Become JupyterLab; returns only if it is not installed or there is no such chapter: 2."""
    folder = manual_folder(options.folder)
    try:
        chapter = _chapter_file(folder, options.chapter) if options.chapter else ""
        command = lab_command(folder, chapter, browser=not options.no_browser, port=options.port)
        settings = {"JUPYTERLAB_SETTINGS_DIR": str(settings_folder(os.environ))}
        os.execve(command[0], command, {**lab_environment(os.environ), **settings})
    except (NoLabError, LookupError) as error:
        print(f"authorkit: {error}", file=sys.stderr)
    return COULD_NOT_RUN


def _chapter_file(folder: Path, code: str) -> str:
    """The notebook of a code. Raises LookupError."""
    files = {Path(file).stem: file for file in chapter_files(folder)}
    if code not in files:
        hint = did_you_mean(closest(code, files)) or f"{CHAPTERS} holds {', '.join(files) or 'none'}"
        raise LookupError(f"there is no chapter '{code}'; {hint[0].lower()}{hint[1:]}")
    return files[code]
