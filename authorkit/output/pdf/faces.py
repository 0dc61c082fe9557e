"""The shipped faces: which signs they have and how wide words are.

The typesetter never says that a word is wider than its column, so the widths are reckoned here before.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from fontTools.ttLib import TTFont

from authorkit.output.pdf.typst_text import INVISIBLE
from authorkit.output.tokens import design_tokens

# Signs without ink that every face passes: the typesetter makes spaces of any width itself.
_INKLESS = frozenset("\n\r\t\u200b")
# Marks that turn the direction of the text around them: a reader must see what the author typed.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


@dataclass(frozen=True)
class Face:
    """One face, named by its family: the advance of each sign it has, in units of the em."""

    name: str
    advances: Mapping[str, float]

    def lacks(self, text: str) -> str:
        """The first sign of `text` that this face cannot print, or ''."""
        signs = set(text)
        if signs <= self.advances.keys() and signs.isdisjoint(_TURNING):
            return ""
        return next((char for char in INVISIBLE.sub("", text) if not self._prints(char)), "")

    def _prints(self, char: str) -> bool:
        return (char in self.advances and char not in _TURNING) or _inkless(char)

    def width(self, text: str, size: float) -> float:
        """The length of a line of text without kerning, in points."""
        space = self.advances[" "]
        return size * sum(self.advances.get(char, space) for char in INVISIBLE.sub("", text))


@dataclass(frozen=True)
class Faces:
    """The faces of the manual, and the names of all families that are shipped with it."""

    regular: Face
    bold: Face
    code: Face
    families: frozenset[str]


@lru_cache(maxsize=4)
def load_faces(folder: Path) -> Faces:
    """Read the fonts of a folder; ValueError if a face that the manual is set in is not among them."""
    found = {(face.name, style): face for face, style in map(_read_face, sorted(folder.glob("*.ttf")))}
    names = design_tokens()["font"]
    wanted = [(names["text"], "Regular"), (names["text"], "Bold"), (names["code"], "Regular")]
    for family, style in wanted:
        if (family, style) not in found:
            raise ValueError(f"no file of the font '{family} {style}' in {folder}")
    regular, bold, code = (found[key] for key in wanted)
    return Faces(regular, bold, code, frozenset(family for family, _ in found))


def _read_face(file: Path) -> tuple[Face, str]:
    """A face named by its family, and its style ('Bold')."""
    with TTFont(file, lazy=True) as font:
        units, metrics = font["head"].unitsPerEm, font["hmtx"].metrics
        advances = {chr(code): metrics[glyph][0] / units for code, glyph in font.getBestCmap().items()}
        family, style = (font["name"].getDebugName(number) or "" for number in (1, 2))
    return Face(family, advances), style


def _inkless(char: str) -> bool:
    return char in _INKLESS or unicodedata.category(char) == "Zs"


def shortened(text: str, room: float, face: Face, size: float) -> str:
    """Text that fits on a line of `room` points: as many whole words as possible, then an ellipsis."""
    if face.width(text, size) <= room:
        return text
    words = text.split(" ")
    fits = (" ".join(words[:count]) + "…" for count in range(len(words) - 1, 0, -1))
    return next((line for line in fits if face.width(line, size) <= room), "…")


@dataclass(frozen=True)
class Measured:
    """How wide a cell's text is on one line, and its widest part that cannot be broken, in points."""

    natural: float
    narrowest: float


def measure(runs: Iterable[tuple[str, Face]], size: float) -> Measured:
    """Measure text made of runs in several faces; it may break at spaces (not at no-break ones) and line ends."""
    natural = line = word = narrowest = 0.0
    for text, face in runs:
        advances, space = face.advances, face.advances[" "]
        for char in INVISIBLE.sub("", text):
            if char == "\n":
                natural, line = max(natural, line), 0.0
            else:
                line += advances.get(char, space)
            if char in " \n":
                narrowest, word = max(narrowest, word), 0.0
            else:
                word += advances.get(char, space)
    return Measured(size * max(natural, line), size * max(narrowest, word))
