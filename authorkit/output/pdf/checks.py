"""What would spoil the print without a word from the typesetter: found before it is asked."""

from __future__ import annotations

import dataclasses
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date

from authorkit.manual.blocks import (
    Answer,
    Block,
    BulletList,
    CautionBlock,
    Code,
    CodeBlock,
    Figure,
    Link,
    Manual,
    Page,
    Paragraph,
    Picture,
    Quote,
    StepBlock,
    Table,
    all_blocks,
)
from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.output.pdf.faces import Faces, measure
from authorkit.output.pdf.pictures import picture_faults
from authorkit.output.pdf.tables import column_widths, runs, text_area, text_width
from authorkit.output.pdf.typst_blocks import INDENT
from authorkit.output.tokens import design_tokens
from authorkit.problems import Place, Problem

# Fields that name things for programs and are never printed.
_NOT_PRINTED = frozenset(
    {
        "anchor",
        "row_anchors",
        "target",
        "media",
        "kind",
        "source",
        "align",
        "role",
        "index",
        "alt",
        "data",
        "svg",
        "address",
    }
)


_HAIR = 0.01  # millimetres: sizes that were rounded


def print_problems(manual: Manual, faces: Faces, page_size: str) -> Iterator[Problem]:
    """Everything in a manual that cannot be printed as it is."""
    yield from _date_problems(manual)
    yield from _anchor_problems(manual)
    title = next((page for page in manual.pages if page.kind == "title"), manual.pages[0])
    own = (
        manual.title,
        manual.subtitle,
        manual.publisher,
        manual.date,
        manual.identity,
        manual.warnings,
        manual.systems,
    )
    for fault in _sign_faults(own, faces):
        yield refused(title, fault, "Write it in words, or with a sign that the font has.")
    for page in manual.pages:
        yield from _page_problems(page, faces, page_size)


def refused(page: Page, message: str, suggestion: str | None = None) -> Problem:
    """The finding that a page cannot be printed, at the notebook it comes from."""
    name = f"Page '{page.mark or page.title}' cannot be printed: "
    return Problem("page-refused", name + message, place_of(page), suggestion=suggestion)


def place_of(page: Page) -> Place:
    """The notebook a page comes from; a page without one (the contents, an index) goes by its own name."""
    return Place(page.source or page.anchor)


def _date_problems(manual: Manual) -> Iterator[Problem]:
    try:
        date.fromisoformat(manual.date)
    except ValueError:
        message = f"the date of the edition is '{manual.date}', which is not a date of the form 2026-11-25."
        yield refused(manual.pages[0], message, "Write year, month and day with dashes.")


def _anchor_problems(manual: Manual) -> Iterator[Problem]:
    anchors = Counter(anchor for page in manual.pages for anchor in page_anchors(page))
    seen: set[str] = set()
    for page in manual.pages:
        for anchor in page_anchors(page):
            if anchors[anchor] > 1 and anchor in seen:
                yield refused(page, f"the anchor '{anchor}' is used {anchors[anchor]} times in the manual.")
            seen.add(anchor)
        for target in sorted(_targets(page) - anchors.keys()):
            yield refused(page, f"it refers to '{target}', which is nowhere in the manual.")


def page_anchors(page: Page) -> Iterator[str]:
    """The anchors of a page: its own, then those of its blocks in their order."""
    yield page.anchor
    for block in all_blocks(page.blocks):
        anchors = [getattr(block, "anchor", ""), *getattr(block, "row_anchors", ())]
        yield from filter(None, anchors)


def _targets(page: Page) -> set[str]:
    return {part.target for part in _parts(page.blocks) if isinstance(part, Link | Answer)}


def _parts(value: object) -> Iterator[object]:
    """Every dataclass within a value, the value itself included."""
    if isinstance(value, tuple):
        for item in value:
            yield from _parts(item)
    elif dataclasses.is_dataclass(value):
        yield value
        for entry in dataclasses.fields(value):
            yield from _parts(getattr(value, entry.name))


def _page_problems(page: Page, faces: Faces, page_size: str) -> Iterator[Problem]:
    for fault in _sign_faults((page.title, page.mark, page.system, page.blocks), faces):
        yield refused(page, fault, "Write it in words, or with a sign that the font has.")
    for block, available in _with_room(page.blocks, text_width()):
        for fault in _block_faults(block, faces, available):
            yield refused(page, fault)
        if isinstance(block, Figure):
            for fault in _figure_faults(block, faces, text_area(page_size)):
                yield refused(page, fault)
    for part in _parts(page.blocks):
        if isinstance(part, Picture):
            for fault in picture_faults(part.svg, "svg", part.alt, faces):
                yield refused(page, f"the formula '{part.alt}' {fault}")


def _with_room(blocks: Iterable[Block], available: float) -> Iterator[tuple[Block, float]]:
    """Each block with the width it has, in points."""
    for block in blocks:
        yield block, available
        inner = block.items if isinstance(block, BulletList) else (block.children,) if isinstance(block, Quote) else ()
        for item in inner:
            yield from _with_room(item, available - INDENT)


def _block_faults(block: Block, faces: Faces, available: float) -> Iterator[str]:
    match block:
        case Table():
            yield from _table_faults(block, faces, available)
        case Paragraph(children):
            size = float(design_tokens()["size"]["text"])
            if measure(runs(children, faces.regular, faces), size).narrowest > available:
                yield "a word in a paragraph is wider than the page; break it with spaces."
        case CodeBlock(text):
            size = float(design_tokens()["size"]["text"]) * float(design_tokens()["size"]["code-ratio"])
            if measure([(text, faces.code)], size).narrowest > available:
                yield "a line of typed text is wider than the page; break it with spaces."
        case CautionBlock(word):
            yield from _word_faults([word])
        case StepBlock():
            yield from _word_faults(word for word, _ in block.cautions)


def _table_faults(table: Table, faces: Faces, available: float) -> Iterator[str]:
    name = f"the table '{table.caption or table.number or ', '.join(table.columns)}'"
    columns = len(table.columns)
    wrong = [position for position, row in enumerate(table.rows, start=1) if len(row) != columns]
    if wrong:
        yield f"{name} has {columns} columns, but row {wrong[0]} has {len(table.rows[wrong[0] - 1])} cells."
    elif table.row_anchors and len(table.row_anchors) != len(table.rows):
        yield f"{name} has {len(table.rows)} rows, but {len(table.row_anchors)} anchors of rows."
    elif columns == 0:
        yield f"{name} has no columns."
    elif column_widths(table, faces, available) is None:
        yield f"{name} is wider than the page: its longest words together do not fit side by side."


def _figure_faults(figure: Figure, faces: Faces, area: tuple[float, float]) -> Iterator[str]:
    name = f"the figure '{figure.caption or figure.number}'"
    for fault in picture_faults(figure.data, figure.media, figure.alt, faces):
        yield f"{name} {fault}"
    width, height = reversed(area) if figure.landscape else area
    if figure.media == "svg" and (figure.width_mm > width + _HAIR or figure.height_mm > height + _HAIR):
        yield (
            f"{name} is {figure.width_mm:.0f} by {figure.height_mm:.0f} mm, but the page has "
            f"{width:.0f} by {height:.0f} mm and a drawing is never scaled; draw it smaller, or in two parts."
        )


def _word_faults(found: Iterable[str]) -> Iterator[str]:
    for word in found:
        if word not in SIGNAL_WORDS:
            yield f"'{word}' is not a signal word; expected {', '.join(SIGNAL_WORDS)}."


def _sign_faults(value: object, faces: Faces) -> Iterator[str]:
    """Each sign that its face does not have, once, with the words it stands in."""
    told: set[str] = set()
    for text, code in _printed(value, code=False):
        face = faces.code if code else faces.regular
        sign = face.lacks(text) or ("" if code else faces.bold.lacks(text))
        if sign and sign not in told:
            told.add(sign)
            yield f"{face.name} has no sign {_sign_name(sign)}, found in '{_around(text, sign)}'."


def _printed(value: object, *, code: bool) -> Iterator[tuple[str, bool]]:
    """Every text that is printed, with whether it is set in the fixed-width face."""
    if isinstance(value, str):
        yield value, code
    elif isinstance(value, tuple):
        for item in value:
            yield from _printed(item, code=code)
    elif dataclasses.is_dataclass(value):
        inner = code or isinstance(value, Code | CodeBlock)
        for entry in dataclasses.fields(value):
            if entry.name not in _NOT_PRINTED:
                yield from _printed(getattr(value, entry.name), code=inner)


def _sign_name(sign: str) -> str:
    name = unicodedata.name(sign, "a control character")
    shown = f"'{sign}' " if sign.isprintable() else ""
    return f"{shown}(U+{ord(sign):04X}, {name.lower()})"


def _around(text: str, sign: str) -> str:
    """The words around a sign; signs that no terminal shows are left out."""
    position = text.index(sign)
    return "".join(char for char in text[max(position - 20, 0) : position + 20] if char.isprintable())
