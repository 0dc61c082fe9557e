"""Pages as Typst files: one file a page, so that an unchanged chapter stays what it was."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from authorkit.manual.blocks import INDEXES, Manual
from authorkit.output.index_pages import indexes_on
from authorkit.output.pdf.faces import Faces, shortened
from authorkit.output.pdf.index import IndexEntry, index_entries
from authorkit.output.pdf.inside_links import address_of
from authorkit.output.pdf.tables import text_width
from authorkit.output.pdf.typst_blocks import blocks_code, line
from authorkit.output.pdf.typst_sheet import Mark, Section, Sheet
from authorkit.output.pdf.typst_text import array, literal, optional
from authorkit.output.tokens import design_tokens

_HEAD_GAPS = 30.0  # points between code, title and system
_IMPORT = '#import "/manual.typ" as m\n'


def write_sheets(manual: Manual, faces: Faces) -> list[tuple[Sheet, str]]:
    """Each page with the text of its file; the indexes come last because they need the marks of all others."""
    sheets = [Sheet(number, page, faces) for number, page in enumerate(manual.pages, start=1)]
    bodies = [blocks_code(sheet.page.blocks, sheet) for sheet in sheets]
    return [(sheet, _file(sheet, body, manual, sheets)) for sheet, body in zip(sheets, bodies, strict=True)]


def _file(sheet: Sheet, body: str, manual: Manual, sheets: Sequence[Sheet]) -> str:
    page = sheet.page
    heading = _heading(sheet)
    match page.kind:
        case "title":
            content = [_title_page(manual, sheet, body)]
        case "contents":
            content = [heading, body, *_contents(sheet, sheets)]
        case "index":
            content = [heading, body, *_indexes(sheet, [mark for other in sheets for mark in other.marks])]
        case _:
            content = [heading, body]
    inside = "\n  ".join(part for part in content if part)
    return f"{_IMPORT}#m.leaf({', '.join(_leaf(sheet, manual))}, {{\n  {inside}\n}})\n"


def _leaf(sheet: Sheet, manual: Manual) -> list[str]:
    page = sheet.page
    anchor = literal(page.anchor)
    if page.kind == "title":
        return [anchor, "plain: true"]
    title = literal(_running_title(sheet))
    words = [f"mark: {optional(page.mark)}", f"title: {title}", f"system: {optional(page.system)}"]
    tab = [f"tab: {manual.systems.index(page.system)}"] if page.system in manual.systems else []
    return [anchor, *words, *tab]


def _running_title(sheet: Sheet) -> str:
    """The title as far as the running head has room for it beside the code and the system."""
    sizes = design_tokens()["size"]
    faces, page = sheet.faces, sheet.page
    taken = faces.bold.width(page.mark, sizes["running-mark"]) + faces.regular.width(page.system, sizes["small"])
    return shortened(sheet.title, text_width() - taken - _HEAD_GAPS, faces.regular, sizes["small"])


def _heading(sheet: Sheet) -> str:
    page = sheet.page
    if page.mark and page.kind == "chapter":
        return f"m.chapter-heading({literal(page.anchor)}, {literal(page.mark)}, {literal(sheet.title)})"
    return f"m.page-heading({literal(page.anchor)}, {literal(page.title)})"


def _title_page(manual: Manual, sheet: Sheet, body: str) -> str:
    arguments = [
        literal(sheet.page.anchor),
        literal(manual.title),
        optional(manual.subtitle),
        line(manual.identity, sheet),
        array(literal(warning) for warning in manual.warnings),
        literal(manual.publisher),
        literal(manual.date),
        f"{{\n  {body}\n  }}",
    ]
    return f"m.title-page({', '.join(arguments)})"


def _contents(sheet: Sheet, sheets: Sequence[Sheet]) -> Iterable[str]:
    """The lines of the contents in the order of the manual, a group for each run of pages of one system."""
    listed = [other for other in sheets if other.page.kind not in ("title", "contents")]
    sheet.printed.update(other.page.anchor for other in listed)
    for system, group in groupby(listed, key=lambda other: other.page.system):
        sheet.contents += 1
        entries = array(_contents_line(other) for other in group)
        yield f"m.contents-group({optional(system)}, {entries})"


def _contents_line(sheet: Sheet) -> str:
    page = sheet.page
    mark = page.mark if page.mark != page.title else ""
    address = address_of(page.anchor, f"{mark} {sheet.title}".strip())
    return f"({literal(address)}, {literal(page.anchor)}, {optional(mark)}, {literal(sheet.title)})"


def _indexes(sheet: Sheet, marks: Sequence[Mark]) -> Iterable[str]:
    """The indexes of a page, those without an entry left out; each has its heading if the page shows more than one."""
    shown = indexes_on(sheet.page)
    sheet.printed.update(mark.name for mark in marks if mark.index in shown)
    for index in shown:
        entries = index_entries(index, marks)
        if entries and len(shown) > 1:
            name = sheet.name("section")
            sheet.sections.append(Section(2, INDEXES[index], name))
            yield f"m.head(2, {array([literal(name)])}, {literal(INDEXES[index])})"
        if entries:
            yield f"m.index-columns({array(_entry(entry) for entry in entries)})"


def _entry(entry: IndexEntry) -> str:
    subs = array(f"({literal(sub)}, {_marks(names, f'{entry.term} {sub}')})" for sub, names in entry.subs)
    return f"({literal(entry.term)}, {_marks(entry.marks, entry.term)}, {subs})"


def _marks(names: Iterable[str], words: str) -> str:
    return array(f"({literal(address_of(name, words))}, {literal(name)})" for name in names)
