"""Formulas: TeX's way of writing mathematics as a small picture that stands in a line of text.

matplotlib's mathtext sets it (fractions, roots, sums, Greek; no environments) in the manual's own faces, with its
symbol font behind them. The glyphs become outlines, so the picture needs no font where it is shown.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from authorkit.drawing.font import font_folder

FORMULA_SIZE = 10.0
"""The size in points that a formula is set in; a writer scales it to the text around it."""

_OUTLINE_SIZE = 100.0  # matplotlib gives the outlines of a text at this size, whatever size is asked for
_FACES = ("Regular", "Italic", "Bold", "BoldItalic")
_SETTINGS: dict[str, Any] = {
    "mathtext.fontset": "custom",
    "mathtext.rm": "Liberation Sans",
    "mathtext.it": "Liberation Sans:italic",
    "mathtext.bf": "Liberation Sans:bold",
    "mathtext.bfit": "Liberation Sans:bold:italic",
    "mathtext.sf": "Liberation Sans",
    "mathtext.tt": "Liberation Mono",
    "mathtext.cal": "Liberation Sans:italic",
    "mathtext.fallback": "stixsans",
}
# Path codes of matplotlib → the letter of SVG and how many points belong to it.
_COMMANDS = {1: ("M", 1), 2: ("L", 1), 3: ("Q", 2), 4: ("C", 3)}
_CLOSE = 79


class FormulaError(ValueError):
    """A formula that cannot be set; the text says why and where."""


@dataclass(frozen=True)
class Formula:
    """A picture of a formula: black outlines as SVG; width, height and depth below the line in points."""

    svg: bytes
    width: float
    height: float
    depth: float


@lru_cache(maxsize=512)
def draw_formula(tex: str) -> Formula:
    """Set what stands between the dollar signs; raise FormulaError if it is malformed or uses what is not known."""
    # matplotlib takes half a second to load and most manuals hold no formula.
    from matplotlib import rc_context
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    _make_faces_known()
    with rc_context(_SETTINGS):  # type: ignore[arg-type]  # matplotlib lists every setting's name as a literal
        face = FontProperties(family="Liberation Sans", size=FORMULA_SIZE)
        try:
            points, codes = text_to_path.get_text_path(face, f"${tex}$", ismath=True)
            box = text_to_path.get_text_width_height_descent(f"${tex}$", face, True)
        except (ValueError, RuntimeError) as fault:
            raise FormulaError(_reason(fault)) from fault
    width, height, depth = (float(length) for length in box)
    return _formula(_outline(points, codes), width, height, depth)


@lru_cache(maxsize=1)
def _make_faces_known() -> None:
    """Tell matplotlib about the manual's own font files."""
    from matplotlib.font_manager import fontManager

    for family in ("LiberationSans", "LiberationMono"):
        for face in _FACES:
            file = font_folder() / f"{family}-{face}.ttf"
            if file.is_file():
                fontManager.addfont(file)


def _reason(fault: Exception) -> str:
    """What mathtext found wrong, without the names of its classes and the column in its own line of text."""
    last = str(fault).strip().splitlines()[-1].strip()
    return re.sub(r"^\w+Exception: |, found .*$|\s*\(at char .*$", "", last)


def _outline(points: object, codes: object) -> str:
    """A path in SVG's letters, in points, with the line of the text at y = 0 and y downwards."""
    scale = FORMULA_SIZE / _OUTLINE_SIZE
    pairs = [(float(x) * scale, -float(y) * scale) for x, y in points]  # type: ignore[attr-defined]
    kinds = [int(code) for code in codes]  # type: ignore[attr-defined]
    pieces, at = [], 0
    while at < len(kinds):
        if kinds[at] == _CLOSE:
            pieces.append("Z")
            at += 1
            continue
        letter, count = _COMMANDS[kinds[at]]
        pieces.append(letter + " ".join(f"{x:.2f} {y:.2f}" for x, y in pairs[at : at + count]))
        at += count
    return "".join(pieces)


def _formula(path: str, width: float, height: float, depth: float) -> Formula:
    """The picture; a little air on each side keeps slanted letters and strokes inside it."""
    air = 0.4
    box = f"{-air:g} {-(height - depth) - air:.2f} {width + 2 * air:.2f} {height + 2 * air:.2f}"
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width + 2 * air:.2f}pt" height="{height + 2 * air:.2f}pt" '
        f'viewBox="{box}"><path d="{path}"/></svg>'
    )
    return Formula(svg.encode(), round(width + 2 * air, 2), round(height + 2 * air, 2), round(depth + air, 2))
