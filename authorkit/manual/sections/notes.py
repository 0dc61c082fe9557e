"""The author's own pictures."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from pathlib import Path

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Figure
from authorkit.manual.scope import Scope
from authorkit.model.chapter import FigureFile
from authorkit.problems import Problem

_FIGURES = re.compile(r"(?:\.\./)*figures/(.+)")
_PLACED = re.compile(r"!\[[^\]]*\]\((?:\.\./)*figures/([^\s)]+)")

_PNG = b"\x89PNG\r\n\x1a\n"
_MM_PER_INCH = 25.4
# A photograph is printed at this density at the finest; it is made smaller to fit the text width, never larger.
_DOTS_PER_INCH = 200.0
_TEXT_WIDTH = 165.0


def pictures(scope: Scope) -> Iterator[Block | Problem]:
    """Each picture of the chapter that the prose does not place itself, at its size in print."""
    placed = {source for prose in scope.chapter.prose for source in _PLACED.findall(prose.text)}
    for figure in scope.chapter.figures:
        if figure.file not in placed:
            yield _block(figure, scope)


def placed_picture(source: str, scope: Scope) -> Block | None:
    """The picture that `![...](figures/NAME)` in the prose places; None if the chapter does not list it."""
    match = _FIGURES.fullmatch(source)
    figure = next((figure for figure in scope.chapter.figures if match and figure.file == match[1]), None)
    block = _block(figure, scope) if figure else None
    return None if isinstance(block, Problem) else block


def _block(figure: FigureFile, scope: Scope) -> Figure | Problem:
    found = _read(figure, scope.book.folder)
    if isinstance(found, Problem):
        return found
    data, width, height = found
    return Figure(figure.caption, data, "png", figure.alt, width, height, inside(scope.code, "figure", figure.id))


def _read(figure: FigureFile, folder: Path) -> tuple[bytes, float, float] | Problem:
    """The bytes of a picture and its size in millimetres, or what is wrong with the file."""
    root = (folder / "figures").resolve()
    path = (root / figure.file).resolve()
    if not path.is_relative_to(root) or not path.is_file():
        return Problem(
            "figure-missing", f"The picture '{figure.file}' is not in figures/.", figure.place, found=figure.file
        )
    data = path.read_bytes()
    if not data.startswith(_PNG) or len(data) < 24:
        return Problem(
            "figure-missing",
            f"The picture '{figure.file}' is not a PNG file.",
            figure.place,
            found=figure.file,
            expected="a PNG file",
            suggestion="Save the picture as PNG.",
        )
    return data, *png_size(data)


def png_size(data: bytes) -> tuple[float, float]:
    """Width and height in millimetres at which a PNG picture is printed. Raises struct.error where it is cut short."""
    width, height = struct.unpack(">II", data[16:24])
    wide = min(width / _DOTS_PER_INCH * _MM_PER_INCH, _TEXT_WIDTH)
    return wide, wide * height / max(width, 1)
