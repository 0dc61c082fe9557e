"""The printed manual: one PDF file from the page model, typeset by Typst.

The build folder holds only files written here: the theme, one Typst file a page, the pictures. Author's words are
string literals in those files. Whatever the typesetter warns of refuses the build: it is silent enough as it is.
"""

from __future__ import annotations

import json
import re
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pikepdf
import typst

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Manual, Page
from authorkit.model.book import PageSize
from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.output.pdf.checks import page_anchors, print_problems, refused
from authorkit.output.pdf.faces import Faces, load_faces
from authorkit.output.pdf.finish import Spot, finish
from authorkit.output.pdf.typst_pages import write_sheets
from authorkit.output.pdf.typst_sheet import Sheet
from authorkit.output.pdf.typst_text import array, literal
from authorkit.output.tokens import theme_file
from authorkit.problems import Problem

# Archival and accessible; also makes the typesetter refuse pictures without words and signs without a glyph.
_STANDARDS: list[Any] = ["a-2a", "ua-1"]


def write_pdf(manual: Manual, target: Path, *, page_size: PageSize, work: Path | None = None) -> tuple[Problem, ...]:
    """Write the manual to `target`; with any problem the file that was there before stays as it is.

    `work` is a folder to build in, for looking at what was typeset; without it a temporary one is used. The same manual
    gives the same bytes.
    """
    faces = load_faces(font_folder())
    problems = tuple(print_problems(manual, faces, page_size))
    if problems:
        return problems
    with _build_folder(work, page_size) as folder:
        sheets = _write_sources(manual, folder, page_size, faces)
        compiler = typst.Compiler(
            str(folder / "main.typ"), root=str(folder), font_paths=_shipped_fonts(), ignore_system_fonts=True
        )
        try:
            raw, warnings = compiler.compile_with_warnings(
                format="pdf", timestamp=_midnight(manual.date), pdf_standards=_STANDARDS
            )
        except typst.TypstError as error:
            return (_compile_problem(error, manual, sheets),)
        if warnings:
            return tuple(_compile_problem(warning, manual, sheets) for warning in warnings)
        assert isinstance(raw, bytes)  # a PDF is one file
        anchors = [anchor for page in manual.pages for anchor in page_anchors(page)]
        _swap_in(finish(raw, sheets, _spots(compiler), anchors), target)
    return ()


def page_map(pdf: Path) -> dict[str, int]:
    """The page of each anchor of a written manual, counted from 1 as printed."""
    with pikepdf.open(pdf) as document:
        pages = {page.obj.objgen: number for number, page in enumerate(document.pages, start=1)}
        tree = pikepdf.NameTree(document.Root.Names.Dests)
        return {
            str(name): pages[place[0].objgen] for name, place in tree.items() if not str(name).startswith("heading:")
        }


@contextmanager
def _build_folder(work: Path | None, page_size: PageSize) -> Iterator[Path]:
    """An empty folder of our own: the typesetter follows links and reads whatever lies under its root."""
    if work is None:
        with tempfile.TemporaryDirectory(prefix="authorkit-pdf-") as name:
            yield Path(name).resolve()
    else:
        folder = work.resolve() / f"pdf-{page_size}"
        if folder.exists():
            shutil.rmtree(folder)
        folder.mkdir(parents=True)
        yield folder


def _shipped_fonts() -> typst.Fonts:
    """No other font than the shipped ones, so that every machine gives the same file."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())])


def _midnight(day: str) -> int:
    """Seconds of the epoch at the beginning of a day (UTC): the time that the file says it was made."""
    return int(datetime.fromisoformat(day).replace(tzinfo=UTC).timestamp())


def _write_sources(manual: Manual, folder: Path, page_size: PageSize, faces: Faces) -> list[Sheet]:
    """Write everything the typesetter reads."""
    for name in ("manual.typ", "tokens.json"):
        (folder / name).write_bytes(theme_file(name))
    _write_json(folder / "signals.json", _signals())
    _write_json(folder / "book.json", _book(manual, page_size))
    written = write_sheets(manual, faces)
    for part in ("pages", "pictures"):
        (folder / part).mkdir()
    for sheet, text in written:
        (folder / _page_file(sheet)).write_text(text, encoding="utf-8")
        for path, data in sheet.files.items():
            (folder / path.lstrip("/")).write_bytes(data)
    sheets = [sheet for sheet, _ in written]
    (folder / "main.typ").write_text(_main_file(sheets), encoding="utf-8")
    return sheets


def _write_json(file: Path, data: object) -> None:
    file.write_text(json.dumps(data, ensure_ascii=False, sort_keys=True), encoding="utf-8")


def _signals() -> dict[str, dict[str, str | bool]]:
    """The panels of the signal words, for the theme."""
    return {
        signal.word: {
            "panel": signal.panel,
            "text": signal.ink,
            "alert": signal.alert_symbol,
            "italic": signal.italic,
        }
        for signal in SIGNAL_WORDS.values()
    }


def _book(manual: Manual, page_size: PageSize) -> dict[str, str | list[str] | None]:
    """What belongs to the whole manual; the language as 'en' or 'en-GB'."""
    language, _, region = manual.language.partition("-")
    return {
        "title": manual.title,
        "publisher": manual.publisher,
        "date": manual.date,
        "lang": language.lower(),
        "region": region or None,
        "systems": list(manual.systems),
        "page-size": page_size,
    }


def _page_file(sheet: Sheet) -> str:
    return f"pages/{sheet.number:04}.typ"


def _main_file(sheets: Sequence[Sheet]) -> str:
    includes = "".join(f'#include "{_page_file(sheet)}"\n' for sheet in sheets)
    names = [name for sheet in sheets for name in _placed(sheet)]
    places = f"#page-map({array(literal(name) for name in names)})\n"
    return f'#import "manual.typ": manual, page-map\n#show: manual\n{includes}{places}'


def _placed(sheet: Sheet) -> Iterator[str]:
    """The names whose places the finishing asks for, each once."""
    names = [*page_anchors(sheet.page), *(section.anchor for section in sheet.sections), *sheet.turned]
    yield from dict.fromkeys(names)


def _spots(compiler: typst.Compiler) -> dict[str, Spot]:
    """Ask the typesetter where the named places are; millimetres become points."""
    rows = json.loads(compiler.query("<page-map>", field="value", one=True))
    return {name: Spot(page, below * 72 / 25.4) for name, page, below in rows}


def _compile_problem(error: typst.TypstError | typst.TypstWarning, manual: Manual, sheets: Sequence[Sheet]) -> Problem:
    """What the typesetter says, as a finding at the notebook of the page it happened on."""
    told = f"{error.message}\n{error.diagnostic}\n{' '.join(error.trace)}"
    too_tall = re.search(r"too tall\|(\d+)\|([\d.]+)\|([\d.]+)\|(.*)", error.message)
    if too_tall:
        number, height, room, name = too_tall.groups()
        message = (
            f"'{name}' is {float(height):.0f} mm tall, but the page has {float(room):.0f} mm and it cannot be parted."
        )
        return refused(manual.pages[int(number) - 1], message, "Make it shorter, or divide it.")
    return refused(
        _page_named(told, manual, sheets), f"the typesetter says: {error.message}", " ".join(error.hints) or None
    )


def _page_named(told: str, manual: Manual, sheets: Sequence[Sheet]) -> Page:
    """The page whose file or picture the typesetter names; the first page if it names none."""
    for sheet in sheets:
        if _page_file(sheet) in told or any(path in told for path in sheet.files):
            return sheet.page
    return manual.pages[0]


def _swap_in(data: bytes, target: Path) -> None:
    """Write aside, then put in place in one move: a reader never meets half a file."""
    target.parent.mkdir(parents=True, exist_ok=True)
    aside = target.with_name(f".{target.name}.part")
    try:
        aside.write_bytes(data)
        aside.replace(target)
    finally:
        aside.unlink(missing_ok=True)
