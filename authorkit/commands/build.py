"""`authorkit build`: check, compose, write HTML and PDF; the last good output stays until the new one is whole."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from authorkit.checks.run import Findings, check_book, settle
from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.commands.check import written
from authorkit.commands.folder import Lines, add_folder_argument, manual_folder
from authorkit.drawing.store import PictureStore
from authorkit.facts.read_book import read_book
from authorkit.manual.blocks import Manual
from authorkit.manual.compose import compose
from authorkit.model.book import Book, PageSize
from authorkit.output.findings.text import as_text
from authorkit.output.html import write_html
from authorkit.output.pdf.sizes import second_process, write_pdfs
from authorkit.problems import Problem
from authorkit.store import KeptFiles

_OUT = Path("build") / "out"
_CACHE = _OUT / ".cache"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `build`."""
    add_folder_argument(parser)
    parser.add_argument("--html", action="store_true", help="only the HTML manual")
    parser.add_argument("--pdf", action="store_true", help="only the PDF manual")
    parser.add_argument("--class", dest="selection", metavar="NAME", help="only the chapters of a class of the recipe")
    parser.add_argument("--series", metavar="NAME", help="an edition for one series")
    parser.add_argument("--run", action="store_true", help="run the code cells of chapters with figure cells first")
    parser.add_argument("--time-limit", metavar="SECONDS", type=float, default=60.0, help="for one cell (default: 60)")


def run(options: argparse.Namespace) -> int:
    """Build; 1 if findings stand in the way, 2 if an option names something unknown."""
    folder = manual_folder(options.manual)
    book, reading = read_book(folder)
    findings = check_book(book, reading)
    if book is None or findings.errors:
        return _refused(findings, folder)
    chosen = _chosen(book, options)
    if isinstance(chosen, str):
        print(f"authorkit: {chosen}", file=sys.stderr)
        return COULD_NOT_RUN
    book, selection = chosen
    store = PictureStore(KeptFiles(folder / _CACHE / "kept"))
    if options.run and (failed := _run_cells(book, selection, store.kept, options.time_limit)):
        return _refused(settle(book, (*_everything(findings), *failed)), folder)
    with second_process(_page_sizes(book, options)) as second:
        manual, problems = compose(book, selection, store)
        findings = settle(book, (*_everything(findings), *problems))
        if findings.errors:
            return _refused(findings, folder)
        return _write(manual, book, options, findings, second=second)


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


def _page_sizes(book: Book, options: argparse.Namespace) -> tuple[PageSize, ...]:
    """The page sizes to print; none if only HTML is asked for."""
    return book.recipe.page_sizes if options.pdf or not options.html else ()


def _everything(findings: Findings) -> list[Problem]:
    """Open and accepted findings together, to be settled again with those of composing."""
    kept = [problem for problem in findings.open if not problem.rule.startswith("acceptance-")]
    return [*kept, *(item.problem for item in findings.accepted)]


def _chosen(book: Book, options: argparse.Namespace) -> tuple[Book, tuple[str, ...]] | str:
    """The book limited to a series, and the codes of a class; or what was named wrongly."""
    if options.series:
        if options.series not in book.vehicle.series_ids:
            return f"there is no series '{options.series}'; there are {', '.join(book.vehicle.series_ids)}"
        book = replace(book, recipe=replace(book.recipe, series=(options.series,)))
    if not options.selection:
        return book, ()
    classes = dict(book.recipe.classes)
    if options.selection not in classes:
        known = ", ".join(classes) or "none"
        return f"there is no class '{options.selection}' in {book.recipe.place.file}; there are {known}"
    return book, classes[options.selection]


def _write(
    manual: Manual, book: Book, options: argparse.Namespace, findings: Findings, *, second: Executor | None
) -> int:
    """Write aside what may still be refused, then swap everything in."""
    out = book.folder / _OUT
    suffix = "".join(f"-{part}" for part in (options.selection, options.series) if part)
    html = out / f"html{suffix}"
    pdfs = {size: out / f"manual{suffix}-{size}.pdf" for size in _page_sizes(book, options)}
    cache = _made(book.folder / _CACHE)
    with tempfile.TemporaryDirectory(dir=cache, prefix="next-") as aside:
        staged = {target: Path(aside) / target.name for target in pdfs.values()}
        targets = {size: staged[target] for size, target in pdfs.items()}
        problems = write_pdfs(manual, targets, KeptFiles(cache / "kept"), second)
        wants_html = options.html or not options.pdf
        if wants_html and not problems:
            problems += write_html(manual, html)
        findings = settle(book, (*_everything(findings), *problems))
        report = out / "report.html"
        report.write_text(written(findings, "html", book.folder), encoding="utf-8")
        if findings.errors:
            return _refused(findings, book.folder)
        for target, source in staged.items():
            source.replace(target)
    if findings.open:
        sys.stdout.write(as_text(findings, Lines(book.folder).line_of))
    made = [("HTML manual", html / "index.html")] if wants_html else []
    made += [(f"PDF manual ({size})", target) for size, target in pdfs.items()]
    for words, path in (*made, ("Validation report", report)):
        print(f"{words}: {path}")
    return CLEAN


def _made(folder: Path) -> Path:
    """The folder, made if it is not there."""
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _refused(findings: Findings, folder: Path) -> int:
    sys.stderr.write(as_text(findings, Lines(folder).line_of))
    print("Nothing was built; the last good manual is untouched.", file=sys.stderr)
    return FINDINGS
