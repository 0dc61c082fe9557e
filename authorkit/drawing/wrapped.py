"""Texts broken into lines by the true width of the font."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.drawing.ink import width_of

_AFTER_HYPHEN = re.compile(r"(?<=[a-z]-)(?=[a-z])")


def wrapped(text: str, width: float, *, bold: bool = False, hyphens: bool = False) -> tuple[str, ...]:
    """The lines of a text at the design size, none wider than `width` in millimetres.

    Lines break at plain spaces; a no-break space keeps a number with its unit. A word that is too wide on its own is
    broken where the line ends: a name may be long, a picture may not overflow. `hyphens` allows a break after a hyphen
    between letters ('High-voltage'); names such as 'M1-A' stay whole.
    """
    lines: list[str] = []
    for word, glue in _words(text, hyphens=hyphens):
        longer = f"{lines[-1]}{glue}{word}" if lines else word
        if lines and width_of(longer, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines += _pieces(word, width, bold=bold)
    return tuple(lines)


def _words(text: str, *, hyphens: bool) -> Iterator[tuple[str, str]]:
    """Each piece that stays whole, with what joins it to the one before."""
    for word in filter(None, text.split(" ")):
        pieces = _AFTER_HYPHEN.split(word) if hyphens else [word]
        for number, piece in enumerate(pieces):
            yield piece, "" if number else " "


def longest_piece(text: str, *, bold: bool = False) -> float:
    """The width of the widest piece that stays whole when hyphens may break."""
    return max((width_of(piece, bold=bold) for piece, _ in _words(text, hyphens=True)), default=0.0)


def _pieces(word: str, width: float, *, bold: bool) -> list[str]:
    """A word, or as many letters of it as a line holds, line by line."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and width_of(pieces[-1] + letter, bold=bold) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces
