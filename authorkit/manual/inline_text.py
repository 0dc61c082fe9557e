"""Inlines as plain characters, for captions and pictures that hold no links."""

from __future__ import annotations

from authorkit.manual.blocks import Code, Inlines, LineBreak, Picture, Text


def plain_text(inlines: Inlines) -> str:
    """Every word of some inlines, in order."""
    pieces = []
    for inline in inlines:
        if isinstance(inline, (Text, Code)):
            pieces.append(inline.text)
        elif isinstance(inline, Picture):
            pieces.append(inline.alt)
        elif isinstance(inline, LineBreak):
            pieces.append(" ")
        else:
            pieces.append(plain_text(inline.children))
    return "".join(pieces)
