"""`authorkit build`: check, compose, write HTML and PDF; the last good output stays until the new one is whole."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from authorkit.checks.run import Findings
from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.commands.building import Outcome, Wanted, build_manual
from authorkit.commands.folder import Lines, add_folder_argument, manual_folder
from authorkit.commands.progress import progress
from authorkit.model.book import Book
from authorkit.output.findings.text import as_text
from authorkit.output.side_by_side import Workers
from authorkit.problems import Problem
from authorkit.store import KeptFiles


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `build`."""
    add_folder_argument(parser)
    parser.add_argument("--html", action="store_true", help="only the HTML manual")
    parser.add_argument("--pdf", action="store_true", help="only the PDF manual")
    parser.add_argument("--class", dest="selection", metavar="NAME", help="only the chapters of a class of the recipe")
    parser.add_argument("--series", metavar="NAME", help="an edition for one series")
    parser.add_argument("--workers", metavar="N", type=int, default=os.cpu_count() or 1, help="processes side by side")
    parser.add_argument("--run", action="store_true", help="run the code cells of chapters with figure cells first")
    parser.add_argument("--time-limit", metavar="SECONDS", type=float, default=60.0, help="for one cell (default: 60)")


def run(options: argparse.Namespace) -> int:
    """Build; 1 if findings stand in the way, 2 if an option names something unknown."""
    folder = manual_folder(options.manual)
    wanted = Wanted(
        html=options.html or not options.pdf,
        page_sizes=None if options.pdf or not options.html else (),
        selection=options.selection or "",
        series=options.series or "",
    )

    def run_cells(book: Book, selection: tuple[str, ...], kept: KeptFiles) -> tuple[Problem, ...]:
        return _run_cells(book, selection, kept, options.time_limit) if options.run else ()

    workers = Workers(options.workers)
    try:
        with progress() as tell:
            executor = workers if options.workers > 1 else None
            outcome = build_manual(folder, wanted, executor=executor, tell=tell, before=run_cells)
    except KeyboardInterrupt:
        workers.shutdown(wait=False, cancel_futures=True)
        raise
    workers.shutdown()
    return _told(outcome, folder)


def _told(outcome: Outcome, folder: Path) -> int:
    if outcome.refused:
        print(f"authorkit: {outcome.refused}", file=sys.stderr)
        return COULD_NOT_RUN
    if outcome.findings.errors:
        return _refused(outcome.findings, folder)
    if outcome.findings.open:
        sys.stdout.write(as_text(outcome.findings, Lines(folder).line_of))
    for words, path in outcome.made:
        print(f"{words}: {path}")
    return CLEAN


def _run_cells(book: Book, selection: tuple[str, ...], kept: KeptFiles, seconds: float) -> tuple[Problem, ...]:
    """Run the code cells of the chapters that are built, where their outputs do not fit any more.

    Raises OSError where Jupyter is not installed: a manual is built without it.
    """
    chapters = [chapter for chapter in book.chapters if chapter.cell_figures]
    files = [chapter.file for chapter in chapters if not selection or str(chapter.code) in selection]
    if not files:
        return ()
    try:
        from authorkit.desk.run_cells import Limits, run_cells  # Jupyter's libraries take seconds to load
    except ModuleNotFoundError as error:
        raise OSError(2, f"--run needs '{error.name}', which 'build/setup desk' installs") from error
    return run_cells(book.folder, files, kept, Limits(seconds, min(os.cpu_count() or 1, 4)))


def _refused(findings: Findings, folder: Path) -> int:
    sys.stderr.write(as_text(findings, Lines(folder).line_of))
    print("Nothing was built; the last good manual is untouched.", file=sys.stderr)
    return FINDINGS
