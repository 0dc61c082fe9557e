"""The one font of the manual: where its files lie, and how wide a text is when printed in it.

Widths come from the font's own table of advances, so that what is planned here is what the printer gives. Drawings,
HTML pages and the PDF all use these files.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from fontTools.ttLib import TTFont

FAMILY = "Liberation Sans"
FIXED_FAMILY = "Liberation Mono"

# Heights as parts of the type size, measured in LiberationSans-Regular: capitals and figures (H, 8), letters with an
# ascender or an accent on a small letter (b, ö), and what hangs below the line (g, Q, the brackets).
CAP_HEIGHT = 0.69
ASCENT = 0.75
DESCENT = 0.21

MM_PER_POINT = 25.4 / 72

# The narrow no-break space of printed quantities is missing in many fonts that a reader's machine may put in the place
# of ours; the plain no-break space is in all of them.
_SUBSTITUTES = str.maketrans({"\u202f": "\u00a0", "\u2009": "\u00a0", "\u2011": "-", "\t": " ", "\n": " ", "\r": " "})


def font_folder() -> Path:
    """The folder that holds the font files and their licence."""
    return Path(__file__).parent / "fonts"


def printable(text: str) -> str:
    """A text as drawings print it: one line, no control characters, spaces that every font has."""
    return "".join(letter for letter in text.translate(_SUBSTITUTES) if letter.isprintable() or letter == "\u00a0")


def missing_glyphs(text: str, *, bold: bool = False) -> str:
    """The characters of a text that the font cannot print, each once, in their order."""
    advances = _advances("Bold" if bold else "Regular")
    return "".join(dict.fromkeys(letter for letter in printable(text) if ord(letter) not in advances))


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """The width of a text at a type size, in the unit of `size`. Kerning is left out, so it errs to the wide side."""
    return size * _relative_width(text, bold)


@lru_cache(maxsize=8192)
def _relative_width(text: str, bold: bool) -> float:
    advances = _advances("Bold" if bold else "Regular")
    widest = advances[ord("W")]  # a stand-in for what the font lacks: another font will print it
    return sum(advances.get(ord(letter), widest) for letter in printable(text))


@lru_cache(maxsize=4)
def _advances(style: str) -> Mapping[int, float]:
    """The advance of each character as a part of the type size."""
    with TTFont(font_folder() / f"LiberationSans-{style}.ttf", lazy=True) as font:
        per_em = font["head"].unitsPerEm
        metrics = font["hmtx"].metrics
        return {code: metrics[glyph][0] / per_em for code, glyph in font.getBestCmap().items()}
