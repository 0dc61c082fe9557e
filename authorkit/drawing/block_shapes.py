"""One block: its frame and its words, fitted, changed, or absent."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.drawing.block_plan import Block
from authorkit.drawing.ink import LINE
from authorkit.drawing.paint import CHANGED_MARK
from authorkit.drawing.shapes import XY, Shape, Words, rectangle
from authorkit.drawing.wrapped import longest_piece, wrapped

BLOCK_PAD = 2.2
_ASCENT, _DESCENT = 2.4, 0.7
_SECOND = 1.0  # from the frame to the second frame of what differs
_DASH = "3,2"
_NOT_FITTED = "not fitted"


def _lines(block: Block, width: float, *, mark: bool = True) -> list[tuple[str, bool]]:
    """What is printed in a block, line by line, bold or not."""
    room = width - 2 * BLOCK_PAD
    title = f"{CHANGED_MARK if mark else ''}{block.id} {block.name}".strip()
    lines = [(text, True) for text in wrapped(title, room, bold=True, hyphens=True)]
    return lines + [(text, False) for said in block.lines for text in wrapped(said, room, hyphens=True)]


def block_height(block: Block, width: float) -> float:
    """The height that a block needs at a width, with its mark and 'not fitted' reckoned in."""
    count = len(_lines(block, width))
    return 2 * BLOCK_PAD + _ASCENT + _DESCENT + (max(count, 2) - 1) * LINE


def fits_block(block: Block, width: float) -> bool:
    """Whether every word of a block can be printed without being broken."""
    room = width - 2 * BLOCK_PAD
    title = longest_piece(f"{block.id} {block.name}", bold=True)
    return max(title, *(longest_piece(said) for said in (_NOT_FITTED, *block.lines))) <= room


def block_frame(block: Block, corner: XY, size: XY, *, changed: bool) -> Iterator[Shape]:
    """A block with its top left corner here; a second frame and a mark if it differs in another series."""
    (x, y), (width, height) = corner, size
    yield rectangle(corner, (x + width, y + height), "module" if block.module else "block", node=block.id)
    if changed:
        yield rectangle((x + _SECOND, y + _SECOND), (x + width - _SECOND, y + height - _SECOND), "changed")
    lines = _lines(block, width, mark=changed)
    yield from _words(lines, corner, size)


def absent_frame(block: Block, corner: XY, size: XY) -> Iterator[Shape]:
    """The dashed place of a block that only another series has."""
    (x, y), (width, height) = corner, size
    frame = rectangle(corner, (x + width, y + height), "absent", dash=_DASH, node=block.id)
    yield frame
    yield from _words([(block.id, False), (_NOT_FITTED, False)], corner, size)


def _words(lines: list[tuple[str, bool]], corner: XY, size: XY) -> Iterator[Shape]:
    (x, y), height = corner, size[1]
    first = y + (height - (len(lines) - 1) * LINE + _ASCENT - _DESCENT / 2) / 2
    for number, (text, bold) in enumerate(lines):
        yield Words(text, x + BLOCK_PAD, first + number * LINE, bold=bold)
