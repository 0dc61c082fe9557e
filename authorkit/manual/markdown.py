"""The author's Markdown as blocks of the page: the only way that prose takes into the manual.

Nothing of it is ever read as HTML. What cannot be shown is printed as typed or as its words, and reported.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from markdown_it.tree import SyntaxTreeNode

from authorkit.manual.blocks import (
    Block,
    BulletList,
    Code,
    CodeBlock,
    Emphasis,
    Heading,
    Inline,
    Inlines,
    LineBreak,
    Link,
    Paragraph,
    Picture,
    Quote,
    Strong,
    Table,
    Text,
    WebLink,
)
from authorkit.manual.markdown_inline import PictureOf, Reading, Resolve, read_formula, read_inlines
from authorkit.manual.markdown_parser import parse
from authorkit.problems import Place, Problem

# A paragraph that begins so, right before a table, is the table's caption.
_CAPTION = "Table:"
# The page's own title is level 1; prose has two levels below it.
_LEVELS = (2, 3)


def render_markdown(
    text: str, resolve: Resolve, place: Place, *, picture: PictureOf | None = None
) -> tuple[tuple[Block, ...], tuple[Problem, ...]]:
    """A text as blocks, and what is wrong with it.

    `resolve` turns a live reference `{kind:target}` into an inline or gives None, in which case it stays as typed (the
    checks report it). `picture` turns `![what it shows](figures/name.png "caption")` into a block. `place` is where the
    text begins; the findings name the line.
    """
    tree, too_deep = parse(text)
    reading = Reading(resolve, place, picture)
    blocks = tuple(_blocks(tree.children, 0, reading))
    if too_deep:
        reading.report(
            "value-malformed",
            0,
            "Lists and quotes in this text lie too deep in one another; the innermost are not printed.",
            suggestion="Begin a list of its own.",
        )
    return blocks, tuple(sorted(reading.problems, key=lambda problem: problem.place.line))


def _blocks(nodes: Iterable[SyntaxTreeNode], line: int, reading: Reading) -> Iterator[Block]:
    """Blocks in order; pictures follow the paragraph, heading or table that they stood in."""
    caption: Inlines = ()
    following = [*nodes]
    for at, node in enumerate(following):
        begins = node.map[0] if node.map else line
        before_table = at + 1 < len(following) and following[at + 1].type == "table"
        if before_table and node.type == "paragraph" and node.children[0].content.startswith(_CAPTION):
            caption = read_inlines(node.children[0], begins, reading)
            continue
        yield from _block(node, begins, caption, reading)
        caption = ()
        yield from reading.pictures
        reading.pictures.clear()


def _block(node: SyntaxTreeNode, line: int, caption: Inlines, reading: Reading) -> Iterator[Block]:
    match node.type:
        case "paragraph":
            if inlines := read_inlines(node.children[0], line, reading):
                yield Paragraph(inlines)
        case "heading":
            level = min(max(int(node.tag[1:]), _LEVELS[0]), _LEVELS[1])
            yield Heading(level, plain(read_inlines(node.children[0], line, reading)))
        case "bullet_list" | "ordered_list":
            items = tuple(tuple(_blocks(item.children, line, reading)) for item in node.children)
            yield BulletList(items, ordered=node.type == "ordered_list")
        case "blockquote":
            yield Quote(tuple(_blocks(node.children, line, reading)))
        case "fence" | "code_block":
            yield CodeBlock(node.content.removesuffix("\n"))
        case "math_block":
            yield Paragraph((read_formula(node.content, line, reading),))
        case "table":
            yield _table(node, line, caption, reading)
        case "hr":
            return
        case other:
            raise ValueError(f"the Markdown parser gave a block '{other}' that nobody reads")


def _table(node: SyntaxTreeNode, line: int, caption: Inlines, reading: Reading) -> Table:
    """A table; its first column is not taken for names of the rows, for nobody said so."""
    head, *bodies = node.children
    heads = head.children[0].children
    rows = [row for body in bodies for row in body.children]
    return Table(
        plain(caption).removeprefix(_CAPTION).strip(),
        tuple(plain(_cell(cell, line, reading)) for cell in heads),
        tuple(tuple(_cell(cell, row.map[0] if row.map else line, reading) for cell in row.children) for row in rows),
        align=tuple(_align(cell) for cell in heads),
        row_heads=False,
    )


def _cell(cell: SyntaxTreeNode, line: int, reading: Reading) -> Inlines:
    return read_inlines(cell.children[0], line, reading) if cell.children else ()


def _align(cell: SyntaxTreeNode) -> str:
    """The alignment that the colons under a heading ask for."""
    asked = str(cell.attrs.get("style", ""))
    return {"text-align:right": "right", "text-align:center": "centre"}.get(asked, "left")


def plain(inlines: Iterable[Inline]) -> str:
    """Inlines as plain characters; a formula as its source."""
    return "".join(_characters(inline) for inline in inlines)


def _characters(inline: Inline) -> str:
    match inline:
        case Text(text) | Code(text):
            return text
        case Strong(children) | Emphasis(children) | Link(_, children) | WebLink(_, children):
            return plain(children)
        case Picture():
            return inline.alt
        case LineBreak():
            return " "
