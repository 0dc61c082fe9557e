"""A chapter as slides for teaching: the blocks of its page, as many at a time as a class can take in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from authorkit.manual.blocks import (
    Block,
    BulletList,
    CautionBlock,
    CodeBlock,
    FactList,
    FaultReadings,
    Figure,
    Heading,
    IndexMark,
    Page,
    Paragraph,
    Quote,
    StepBlock,
    Table,
    all_blocks,
)
from authorkit.manual.markdown import plain

# Characters of running text, and rows of a table, on one slide.
_MOST_TEXT = 600
_MOST_ROWS = 10
# One of these is enough for a slide.
_WEIGHTY = (FactList, Figure, StepBlock, Table)


@dataclass(frozen=True)
class Slide:
    """One slide: the code and title of its chapter, the section it is from ('' on the first), what it shows.

    `anchors` are those of headings that became the slide's own. `opens` is true for the first slide of a chapter.
    """

    page: Page
    section: str
    blocks: tuple[Block, ...]
    anchors: tuple[str, ...] = ()
    opens: bool = False


def slides_of(page: Page) -> tuple[Slide, ...]:
    """The page's blocks in their order, cut where a new section, drawing, table or step begins, or the text is long."""
    tray = _Tray(page)
    for block in page.blocks:
        for piece in _pieces(block):
            tray.take(piece)
    tray.close()
    first, *rest = tray.slides or [Slide(page, "", ())]
    return (replace(first, opens=True), *rest)


@dataclass
class _Tray:
    """The slide that is being filled, and the finished ones."""

    page: Page
    section: str = ""
    sub: Heading | None = None
    anchors: list[str] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    slides: list[Slide] = field(default_factory=list)

    def take(self, block: Block) -> None:
        """Put a block on this slide or on the next one."""
        if isinstance(block, IndexMark | FaultReadings):
            return
        if isinstance(block, Heading) and block.level == 2:
            self.close()
            self.section, self.sub, self.anchors = block.text, None, [block.anchor] if block.anchor else []
            return
        if self._is_full(block):
            self.close()
            if self.sub is not None and not isinstance(block, Heading):
                self.blocks.append(replace(self.sub, anchor=""))
        if isinstance(block, Heading):
            self.sub = block
        self.blocks.append(block)

    def close(self) -> None:
        """End the slide, unless there is nothing on it yet."""
        if any(not isinstance(block, Heading) for block in self.blocks):
            self.slides.append(Slide(self.page, self.section, tuple(self.blocks), tuple(self.anchors)))
            self.blocks, self.anchors = [], []

    def _is_full(self, block: Block) -> bool:
        """Whether a block needs a slide of its own. A safety message stays with what follows it."""
        shown = [each for each in self.blocks if not isinstance(each, Heading)]
        if not shown or isinstance(shown[-1], CautionBlock):
            return False
        if isinstance(block, (Heading, CautionBlock, *_WEIGHTY)):
            return True
        if any(isinstance(each, _WEIGHTY) for each in shown):
            return not (isinstance(block, Paragraph) and block.role == "note")
        return _length([*shown, block]) > _MOST_TEXT


def _pieces(block: Block) -> Iterator[Block]:
    """The block, or a long table in parts that each have its head."""
    if not isinstance(block, Table) or len(block.rows) <= _MOST_ROWS + 2:
        yield block
        return
    parts = -(-len(block.rows) // _MOST_ROWS)
    size = -(-len(block.rows) // parts)
    for start in range(0, len(block.rows), size):
        rows = slice(start, start + size)
        anchor = block.anchor if start == 0 else ""
        yield replace(block, rows=block.rows[rows], row_anchors=block.row_anchors[rows], anchor=anchor)


def _length(blocks: Iterable[Block]) -> int:
    """Characters of running text."""
    return sum(map(_letters, all_blocks(blocks)))


def _letters(block: Block) -> int:
    match block:
        case Paragraph(children):
            return len(plain(children))
        case CodeBlock(text):
            return len(text)
        case BulletList() | Quote():
            return 40  # the room around its items, which are counted by themselves
        case _:
            return 0
