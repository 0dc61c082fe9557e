"""Building a manual as a function: check, compose, write aside, swap in. No options, no printing."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from pathlib import Path

from authorkit.checks.run import Findings, check_book, settle
from authorkit.commands.check import written
from authorkit.commands.kept import CACHE, OUT, kept_for, prepared_studies
from authorkit.drawing.store import PictureStore
from authorkit.facts.read_book import read_book
from authorkit.manual.blocks import Manual
from authorkit.manual.compose import compose
from authorkit.manual.telling import Tell, silent
from authorkit.model.book import Book, PageSize
from authorkit.output.html import write_html
from authorkit.output.pdf.write import write_pdf
from authorkit.problems import Problem
from authorkit.store import KeptFiles

# Before composing, what must have succeeded: the book, the codes to print, the store. Findings stop the build.
Before = Callable[[Book, tuple[str, ...], KeptFiles], tuple[Problem, ...]]

# With no more chapters than this, starting processes takes longer than the work.
_FEW = 4


@dataclass(frozen=True)
class Wanted:
    """What to build: HTML or not, the page sizes to print (None: those of the recipe), a class, an edition."""

    html: bool = True
    page_sizes: tuple[PageSize, ...] | None = None
    selection: str = ""
    series: str = ""


@dataclass(frozen=True)
class Outcome:
    """What came of a build: all findings settled, what was written, and what was named wrongly.

    `made` has a word for each thing with its path; it is empty if nothing was swapped in.
    """

    findings: Findings
    made: tuple[tuple[str, Path], ...] = ()
    refused: str = ""


def build_manual(
    folder: Path,
    wanted: Wanted,
    *,
    executor: Executor | None = None,
    kept: KeptFiles | None = None,
    tell: Tell = silent,
    before: Before | None = None,
) -> Outcome:
    """Build a manual. With any error in the findings, and when it is stopped, the last good manual stays as it is.

    `executor` takes the work of single chapters and parts; its processes must not be forked. `kept` holds what was
    worked out before. `tell` is told how far the work is. Raises OSError if the disk refuses the result.
    """
    book, reading = read_book(folder)
    if book is None:
        return Outcome(check_book(book, reading))
    kept = kept or kept_for(folder, len(book.chapters))
    executor = executor if len(book.chapters) > _FEW else None
    chosen = _chosen(book, wanted)
    if isinstance(chosen, str):
        return Outcome(Findings((), ()), refused=chosen)
    studies = prepared_studies(book, kept, executor, tell)
    findings = check_book(book, reading, studies=studies)
    if findings.errors:
        return Outcome(findings)
    book, selection = chosen
    if before is not None and (failed := before(book, selection, kept)):
        return Outcome(_settled(book, findings, failed))
    manual, problems = compose(book, selection, PictureStore(kept), executor=executor, studies=studies, tell=tell)
    findings = _settled(book, findings, problems)
    if findings.errors:
        return Outcome(findings)
    return _write(manual, book, findings, _Means(wanted, executor, kept, tell))


@dataclass(frozen=True)
class _Means:
    wanted: Wanted
    executor: Executor | None
    kept: KeptFiles
    tell: Tell


def _settled(book: Book, findings: Findings, problems: tuple[Problem, ...]) -> Findings:
    """Open and accepted findings together with new ones, settled again."""
    known = [problem for problem in findings.open if not problem.rule.startswith("acceptance-")]
    return settle(book, (*known, *(item.problem for item in findings.accepted), *problems))


def _chosen(book: Book, wanted: Wanted) -> tuple[Book, tuple[str, ...]] | str:
    """The book limited to a series, and the codes of a class; or what was named wrongly."""
    if wanted.series:
        if wanted.series not in book.vehicle.series_ids:
            return f"there is no series '{wanted.series}'; there are {', '.join(book.vehicle.series_ids)}"
        book = replace(book, recipe=replace(book.recipe, series=(wanted.series,)))
    if not wanted.selection:
        return book, ()
    classes = dict(book.recipe.classes)
    if wanted.selection not in classes:
        known = ", ".join(classes) or "none"
        return f"there is no class '{wanted.selection}' in {book.recipe.place.file}; there are {known}"
    return book, classes[wanted.selection]


def _write(manual: Manual, book: Book, findings: Findings, means: _Means) -> Outcome:
    """Write aside what may still be refused, then swap everything in."""
    wanted, out = means.wanted, book.folder / OUT
    suffix = "".join(f"-{part}" for part in (wanted.selection, wanted.series) if part)
    html = out / f"html{suffix}"
    sizes = book.recipe.page_sizes if wanted.page_sizes is None else wanted.page_sizes
    pdfs = {size: out / f"manual{suffix}-{size}.pdf" for size in sizes}
    (book.folder / CACHE).mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=book.folder / CACHE, prefix="next-") as aside:
        staged = {target: Path(aside) / target.name for target in pdfs.values()}
        problems: list[Problem] = []
        for size, target in pdfs.items():
            means.tell(f"printing {size}", 0, 1)
            problems += write_pdf(
                manual, staged[target], page_size=size, kept=means.kept, executor=means.executor, tell=means.tell
            )
        if wanted.html and not problems:
            means.tell("writing HTML", 0, 1)
            problems += write_html(manual, html)
        findings = _settled(book, findings, tuple(dict.fromkeys(problems)))
        report = out / "report.html"
        report.write_text(written(findings, "html", book.folder), encoding="utf-8")
        if findings.errors:
            return Outcome(findings)
        for target, source in staged.items():
            source.replace(target)
    made = [("HTML manual", html / "index.html")] if wanted.html else []
    made += [(f"PDF manual ({size})", target) for size, target in pdfs.items()]
    return Outcome(findings, (*made, ("Validation report", report)))
