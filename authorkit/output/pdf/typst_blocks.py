"""Blocks as calls of the functions of theme/manual.typ."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from authorkit.manual.blocks import (
    Answer,
    Block,
    BulletList,
    CautionBlock,
    CodeBlock,
    FactList,
    FaultReadings,
    Figure,
    Heading,
    IndexMark,
    Inline,
    Inlines,
    Link,
    Paragraph,
    Picture,
    Quote,
    StepBlock,
    Table,
)
from authorkit.output.pdf.inside_links import address_of
from authorkit.output.pdf.tables import column_widths, name_width, reckoned_height, text_width
from authorkit.output.pdf.typst_sheet import Mark, Section, Sheet
from authorkit.output.pdf.typst_text import array, image, inlines, literal, optional
from authorkit.output.tokens import design_tokens

INDENT = 16.0  # points that a list or a quotation takes from the width of what it holds
_ALIGN = {"left": "left", "right": "right", "centre": "center"}


def blocks_code(blocks: Sequence[Block], sheet: Sheet, available: float | None = None) -> str:
    """Blocks one after the other, as Typst statements.

    Index marks go into the block that follows them, so that they are on its page. Headings straight before a drawing on
    its side go onto that drawing's page.
    """
    width = text_width() if available is None else available
    return "\n  ".join(_statements(blocks, sheet, width))


def _statements(blocks: Sequence[Block], sheet: Sheet, available: float) -> Iterator[str]:
    waiting: list[str] = []  # names of index marks
    held: list[str] = []  # headings that may have to go with a drawing on its side
    for block in blocks:
        if isinstance(block, IndexMark):
            waiting.append(_mark(block, sheet))
            continue
        if isinstance(block, FaultReadings):  # for the screen; paper has the groups of faults in a table
            continue
        names, waiting = waiting, []
        if isinstance(block, Heading):
            held.append(_heading(block, names, sheet))
            continue
        if isinstance(block, Figure) and block.landscape:
            yield _sideways(block, names, held, sheet)
        else:
            yield from held
            yield _block(block, names, sheet, available)
        held = []
    yield from held
    if waiting:
        yield f"m.at({_names(waiting)})"


def _mark(mark: IndexMark, sheet: Sheet) -> str:
    name = sheet.name("mark")
    sheet.marks.append(Mark(mark.index, mark.term, mark.sub, name))
    return name


def _names(names: Iterable[str], anchor: str = "") -> str:
    """An anchor and index marks, as the array that `at` takes."""
    return array(literal(name) for name in ([anchor, *names] if anchor else names))


def _block(block: Block, names: Sequence[str], sheet: Sheet, available: float) -> str:
    match block:
        case Paragraph(children, role):
            return f"m.para({literal(role)}, {_names(names)}, {line(children, sheet)})"
        case BulletList(items, ordered):
            inside = array(_item(item, sheet, available - INDENT) for item in items)
            return f"m.bullets({str(ordered).lower()}, {_names(names)}, {inside})"
        case Quote(children):
            return f"m.quotation({_names(names)}, {{\n  {blocks_code(children, sheet, available - INDENT)}\n}})"
        case CodeBlock(text):
            return f"m.lines({_names(names)}, {literal(text.rstrip())})"
        case Table():
            return _table(block, names, sheet, available)
        case Figure():
            return _figure(block, "drawing", names, sheet)
        case FactList():
            return _facts(block, names, sheet)
        case CautionBlock():
            return _caution(block, names)
        case StepBlock():
            return _step(block, names, sheet)
    raise TypeError(f"{type(block).__name__} cannot stand here")  # headings and index marks are written above


def line(children: Inlines, sheet: Sheet) -> str:
    """A line of text as a Typst expression; the sheet notes its small pictures and the places whose pages it prints."""
    for child in _with_inner(children):
        if isinstance(child, Picture):
            sheet.picture(child.svg, "svg")
        elif isinstance(child, Link) and child.page:
            sheet.printed.add(child.target)
    return inlines(children, sheet.paths)


def _with_inner(children: Inlines) -> Iterator[Inline]:
    for child in children:
        yield child
        yield from _with_inner(getattr(child, "children", ()))


def _optional_line(children: Inlines, sheet: Sheet) -> str:
    return line(children, sheet) if children else "none"


def _item(item: tuple[Block, ...], sheet: Sheet, available: float) -> str:
    """One item of a list; a single paragraph is set without the space around it."""
    if len(item) == 1 and isinstance(item[0], Paragraph):
        return line(item[0].children, sheet)
    return f"{{\n  {blocks_code(item, sheet, available)}\n}}"


def _heading(heading: Heading, names: Sequence[str], sheet: Sheet) -> str:
    anchor = heading.anchor or sheet.name("section")
    sheet.sections.append(Section(heading.level, heading.text, anchor))
    return f"m.head({heading.level}, {_names(names, anchor)}, {literal(heading.text)})"


def _table(table: Table, names: Sequence[str], sheet: Sheet, available: float) -> str:
    sheet.row_heads.append(table.row_heads)
    # The checks refuse a table with a word too wide for it before anything is written.
    widths = column_widths(table, sheet.faces, available) or (available / len(table.columns),) * len(table.columns)
    align = [_ALIGN[name] for name in table.align] or ["left"] * len(table.columns)
    arguments = [
        _names(names, table.anchor),
        optional(table.number),
        optional(table.caption),
        f"{reckoned_height(table, widths, sheet.faces):.1f}",
        array(f"{width:.3f}pt" for width in widths),
        array(align),
        str(table.row_heads).lower(),
        array(literal(column) for column in table.columns),
        "(\n" + "".join(f"    {array(row)},\n" for row in _rows(table, sheet)) + "  )",
    ]
    return f"m.data-table({', '.join(arguments)})"


def _rows(table: Table, sheet: Sheet) -> Iterator[list[str]]:
    """The cells of each row as Typst expressions; the anchor of a row stands in its first cell."""
    anchors = table.row_anchors or ("",) * len(table.rows)
    for row, anchor in zip(table.rows, anchors, strict=True):
        first, *others = (line(cell, sheet) for cell in row)
        yield [f"{{ m.at({_names((), anchor)}); {first} }}" if anchor else first, *others]


def _figure(figure: Figure, function: str, names: Sequence[str], sheet: Sheet) -> str:
    """A drawing of its true size; a photograph no wider than the text."""
    room = text_width() * 25.4 / 72
    width = min(figure.width_mm, room) if figure.media == "png" else figure.width_mm
    arguments = [
        _names(names, figure.anchor),
        image(sheet.picture(figure.data, figure.media), f"width: {width:.3f}mm", figure.alt),
        optional(figure.number),
        optional(figure.caption),
    ]
    return f"m.{function}({', '.join(arguments)})"


def _sideways(figure: Figure, names: Sequence[str], headings: Sequence[str], sheet: Sheet) -> str:
    name = sheet.name("turned")
    sheet.turned.append(name)
    body = "\n  ".join([*headings, _figure(figure, "side-drawing", names, sheet)])
    return f"m.sideways({literal(figure.number or figure.caption)}, {literal(name)}, {{\n  {body}\n  }})"


def _facts(facts: FactList, names: Sequence[str], sheet: Sheet) -> str:
    sheet.row_heads.append(True)
    rows = array(f"({literal(name)}, {line(value, sheet)})" for name, value in facts.rows)
    return f"m.facts({_names(names, facts.anchor)}, {name_width(facts, sheet.faces):.3f}pt, {rows})"


def _caution(block: CautionBlock, names: Sequence[str]) -> str:
    words = [literal(text) for text in (block.word, block.hazard, block.consequence)]
    avoid = array(literal(sentence) for sentence in block.avoid)
    return f"m.caution({_names(names, block.anchor)}, {', '.join(words)}, {avoid})"


def _step(step: StepBlock, names: Sequence[str], sheet: Sheet) -> str:
    cautions = array(f"({literal(word)}, {literal(sentence)})" for word, sentence in step.cautions)
    named = {
        "cautions": cautions,
        "do": _optional_line(step.do, sheet),
        "measure": _optional_line(step.measure, sheet),
        "question": _optional_line(step.question, sheet),
        "answers": array(_answer(answer, sheet) for answer in step.answers),
        "verdict": _optional_line(step.verdict, sheet),
        "repair": _optional_line(step.repair, sheet),
        "end": _optional_line(step.end, sheet),
    }
    arguments = [_names(names, step.anchor), literal(step.number)]
    arguments += [f"{name}: {value}" for name, value in named.items() if value not in ("none", "()")]
    return f"m.step({', '.join(arguments)})"


def _answer(answer: Answer, sheet: Sheet) -> str:
    sheet.printed.add(answer.target)
    address = address_of(answer.target, f"{design_tokens()['words']['step']} {answer.step}")
    return f"({line(answer.condition, sheet)}, {literal(answer.step)}, {literal(address)}, {literal(answer.target)})"
