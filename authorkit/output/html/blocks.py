"""Blocks as HTML."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from authorkit.manual.blocks import (
    Block,
    BulletList,
    CautionBlock,
    CodeBlock,
    FactList,
    FaultReadings,
    Figure,
    Heading,
    Paragraph,
    Quote,
    StepBlock,
    Table,
)
from authorkit.output.html.addresses import fragment
from authorkit.output.html.caution import caution_html
from authorkit.output.html.figure import figure_html
from authorkit.output.html.inline import View, inline_html
from authorkit.output.html.markup import escape, tag
from authorkit.output.html.picker import picker_html
from authorkit.output.html.steps import steps_html
from authorkit.output.html.table import table_html


def blocks_html(blocks: Iterable[Block], view: View) -> str:
    """Blocks in order; steps that follow each other share one list."""
    pieces = []
    for are_steps, group in groupby(blocks, lambda block: isinstance(block, StepBlock)):
        run = list(group)
        if are_steps:
            pieces.append(steps_html([block for block in run if isinstance(block, StepBlock)], view))
        else:
            pieces += [_block(block, view) for block in run]
    return "\n".join(piece for piece in pieces if piece)


def _block(block: Block, view: View) -> str:
    """One block that is no step."""
    match block:
        case BulletList():
            items = [tag("li", blocks_html(item, view)) for item in block.items]
            return tag("ol" if block.ordered else "ul", *items)
        case Quote():
            return tag("blockquote", blocks_html(block.children, view))
        case Table():
            return table_html(block, view)
        case Figure():
            return figure_html(block, view)
        case CautionBlock():
            return caution_html(block, view)
        case FactList():
            return _facts(block, view)
        case FaultReadings():
            return picker_html(block, view)
        case _:
            return _text_block(block, view)


def _text_block(block: Block, view: View) -> str:
    """A heading, a paragraph or typed lines; '' for a mark, which only the indexes see."""
    match block:
        case Heading():
            return tag(f"h{block.level}", escape(block.text), id=view.claim(fragment(block.anchor)))
        case Paragraph():
            return tag("p", inline_html(block.children, view), class_=block.role)
        case CodeBlock():
            return tag("pre", tag("code", escape(block.text)), tabindex="0", class_="scroll")
        case _:
            return ""


def _facts(facts: FactList, view: View) -> str:
    rows = [tag("div", tag("dt", escape(name)), tag("dd", inline_html(value, view))) for name, value in facts.rows]
    return tag("dl", *rows, class_="facts", id=view.claim(fragment(facts.anchor))) if rows else ""
