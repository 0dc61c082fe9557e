"""Going through a page's blocks: all of them, the text in them, the links in them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from authorkit.manual.blocks import (
    Block,
    CautionBlock,
    Code,
    CodeBlock,
    Emphasis,
    FactList,
    Figure,
    Heading,
    Inline,
    Inlines,
    LineBreak,
    Link,
    Paragraph,
    Picture,
    StepBlock,
    Strong,
    Table,
    Text,
    WebLink,
)


def inlines_of(block: Block) -> Iterator[Inlines]:
    """The pieces of running text that a block itself holds, in reading order."""
    if isinstance(block, Paragraph):
        yield block.children
    elif isinstance(block, Table):
        for row in block.rows:
            yield from row
    elif isinstance(block, FactList):
        for _, value in block.rows:
            yield value
    elif isinstance(block, StepBlock):
        yield from (block.do, block.measure, block.question)
        for answer in block.answers:
            yield answer.condition
        yield from (block.verdict, block.end, block.repair)


def flat(inlines: Iterable[Inline]) -> Iterator[Inline]:
    """Every inline, those inside emphasis and links too."""
    for inline in inlines:
        yield inline
        if isinstance(inline, Strong | Emphasis | Link | WebLink):
            yield from flat(inline.children)


def plain(inlines: Iterable[Inline]) -> str:
    """Inlines as plain characters; a formula as its alternative text."""
    return "".join(_characters(inline) for inline in flat(inlines))


def _characters(inline: Inline) -> str:
    if isinstance(inline, Text | Code):
        return inline.text
    if isinstance(inline, Picture):
        return inline.alt
    return " " if isinstance(inline, LineBreak) else ""


def texts_of(block: Block) -> Iterator[str]:
    """Everything a reader can read in a block itself, as plain characters."""
    if isinstance(block, Heading | CodeBlock):
        yield block.text
    elif isinstance(block, Table):
        yield from (block.number, block.caption, *block.columns)
    elif isinstance(block, Figure):
        yield from (block.number, block.caption, block.alt)
    elif isinstance(block, CautionBlock):
        yield from (block.word, block.hazard, block.consequence, *block.avoid)
    elif isinstance(block, FactList):
        yield from (name for name, _ in block.rows)
    elif isinstance(block, StepBlock):
        yield from (sentence for _, sentence in block.cautions)
    yield from (plain(inlines) for inlines in inlines_of(block))


def anchors_of(block: Block) -> Iterator[str]:
    """The anchors of a block itself: its own, and those of a table's rows."""
    names = (getattr(block, "anchor", ""), *(block.row_anchors if isinstance(block, Table) else ()))
    return (name for name in names if name)


def without_skips(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """The same blocks with no heading more than one level below the one before it; the page's title is level 1."""
    level, kept = 1, []
    for block in blocks:
        if isinstance(block, Heading):
            level = min(block.level, level + 1)
            block = replace(block, level=level)
        kept.append(block)
    return tuple(kept)
