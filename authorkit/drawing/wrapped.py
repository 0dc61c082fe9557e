"""Texts broken into lines by the true width of the font."""

from __future__ import annotations

from authorkit.drawing.ink import width_of


def wrapped(text: str, width: float, *, bold: bool = False) -> tuple[str, ...]:
    """The lines of a text at the design size, none wider than `width` in millimetres.

    Lines break at plain spaces; a no-break space keeps a number with its unit. A word that is too wide on its own is
    broken where the line ends: a name may be long, a picture may not overflow.
    """
    lines: list[str] = []
    for word in filter(None, text.split(" ")):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines += _pieces(word, width, bold=bold)
    return tuple(lines)


def _pieces(word: str, width: float, *, bold: bool) -> list[str]:
    """A word, or as many letters of it as a line holds, line by line."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and width_of(pieces[-1] + letter, bold=bold) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces
