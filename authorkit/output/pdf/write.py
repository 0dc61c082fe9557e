"""The printed manual: one PDF file from the page model, typeset by Typst, part by part.

The typesetter reads only what is made here: the theme, a file for each part, the pictures. Author's words are string
literals in those files. Whatever the typesetter warns of refuses the build: it is silent enough as it is.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pikepdf

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Manual
from authorkit.manual.telling import Tell, silent
from authorkit.model.book import PageSize
from authorkit.output.pdf.cache import PartCache
from authorkit.output.pdf.checks import page_anchors, print_problems, refused
from authorkit.output.pdf.faces import load_faces
from authorkit.output.pdf.finish import finish
from authorkit.output.pdf.join import join
from authorkit.output.pdf.part_sources import parts_of
from authorkit.output.pdf.parts import Part, Typeset, places
from authorkit.output.pdf.rounds import typeset_all
from authorkit.output.pdf.typst_pages import write_sheets
from authorkit.output.pdf.typst_sheet import Sheet
from authorkit.problems import Problem
from authorkit.store import KeptFiles

_WORKERS = 2  # threads, if no executor is given: the typesetter lets go of the interpreter while it works


def write_pdf(
    manual: Manual,
    target: Path,
    *,
    page_size: PageSize,
    work: Path | None = None,
    kept: KeptFiles = KeptFiles(None),
    executor: Executor | None = None,
    tell: Tell = silent,
) -> tuple[Problem, ...]:
    """Write the manual to `target`; with any problem the file that was there before stays as it is.

    `kept` holds typeset parts, so that the next build makes only what changed; several builds may share it.
    `executor` makes parts side by side, in threads or in processes that were spawned: the typesetter has threads of its
    own, and does not survive a fork. `work` is a folder for looking at what the typesetter reads. None of the three
    changes a byte of the file.
    """
    faces = load_faces(font_folder())
    problems = tuple(print_problems(manual, faces, page_size))
    if problems:
        return problems
    written = write_sheets(manual, faces)
    parts = parts_of(manual, written, page_size)
    if work is not None:
        _show_sources(parts, written, work.resolve() / f"pdf-{page_size}")
    with _workers(executor) as workers:
        outcomes = typeset_all(parts, PartCache(kept, page_size), workers, tell)
    made = [outcome for outcome in outcomes if isinstance(outcome, Typeset)]
    if len(made) < len(parts):
        return tuple(
            refused(page, fault.message, fault.suggestion)
            for page, faults in zip(manual.pages, outcomes, strict=True)
            if not isinstance(faults, Typeset)
            for fault in faults
        )
    anchors = [anchor for page in manual.pages for anchor in page_anchors(page)]
    with join(part.pdf for part in made) as whole:
        data = finish(whole, [sheet for sheet, _ in written], places([part.layout for part in made]), anchors)
    _swap_in(data, target)
    return ()


def page_map(pdf: Path) -> dict[str, int]:
    """The page of each anchor of a written manual, counted from 1 as printed."""
    with pikepdf.open(pdf) as document:
        pages = {page.obj.objgen: number for number, page in enumerate(document.pages, start=1)}
        tree = pikepdf.NameTree(document.Root.Names.Dests)
        return {str(name): pages[place[0].objgen] for name, place in tree.items()}


@contextmanager
def _workers(executor: Executor | None) -> Iterator[Executor]:
    """The executor that was given, or one of our own."""
    if executor is not None:
        yield executor
    else:
        with ThreadPoolExecutor(_WORKERS) as own:
            yield own


def _show_sources(parts: Iterable[Part], written: Iterable[tuple[Sheet, str]], folder: Path) -> None:
    """Write what the typesetter reads into a folder, one file a page; what was there before is gone."""
    if folder.exists():
        shutil.rmtree(folder)
    for part, (sheet, _) in zip(parts, written, strict=True):
        for name, data in part.files.items():
            own = {"page.typ": f"pages/{sheet.number:04}.typ", "names.json": f"names/{sheet.number:04}.json"}
            file = folder / own.get(name, name)
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(data)


def _swap_in(data: bytes, target: Path) -> None:
    """Write aside, then put in place in one move: a reader never meets half a file."""
    target.parent.mkdir(parents=True, exist_ok=True)
    aside = target.with_name(f".{target.name}.part")
    try:
        aside.write_bytes(data)
        aside.replace(target)
    finally:
        aside.unlink(missing_ok=True)
