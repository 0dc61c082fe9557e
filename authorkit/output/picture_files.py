"""Every picture of a manual as a file of its own, and the contact sheet that shows all of them on a few pages."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import typst

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Figure, Manual, Page, all_blocks

# A picture of the contact sheet takes at most this much, in mm; it is never made larger than it is.
_WIDEST, _HIGHEST = 87.0, 92.0


@dataclass(frozen=True)
class PictureFile:
    """A picture with the name of its file ('P0118-2-circuit-A.svg') and the page that it stands on."""

    name: str
    page: Page
    figure: Figure


def picture_files(manual: Manual) -> tuple[PictureFile, ...]:
    """Every picture in the order of the manual, each under a name of its own."""
    return tuple(found for page in manual.pages for found in _of_page(page))


def _of_page(page: Page) -> Iterator[PictureFile]:
    figures = (block for block in all_blocks(page.blocks) if isinstance(block, Figure))
    for number, figure in enumerate(figures, 1):
        about = figure.anchor.removeprefix(f"{page.anchor}-").removeprefix("figure-")
        name = re.sub(r"[^A-Za-z0-9.-]+", "-", f"{page.anchor}-{number}-{about}").strip("-.")
        yield PictureFile(f"{name}.{figure.media}", page, figure)


def write_sheet(manual: Manual, target: Path) -> None:
    """The contact sheet as a PDF: every picture small, below the title of its page. Raises OSError."""
    with tempfile.TemporaryDirectory(prefix="authorkit-sheet-") as name:
        folder = Path(name).resolve()
        pictures = picture_files(manual)
        for picture in pictures:
            (folder / picture.name).write_bytes(picture.figure.data)
        told = {"title": manual.title, "date": manual.date, "pages": list(_groups(pictures))}
        (folder / "sheet.json").write_text(json.dumps(told), encoding="utf-8")
        theme = files("authorkit.output") / "theme" / "contact_sheet.typ"
        (folder / "main.typ").write_bytes(theme.read_bytes())
        fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())])
        made = typst.compile(str(folder / "main.typ"), root=str(folder), font_paths=fonts, ignore_system_fonts=True)
    assert isinstance(made, bytes)  # a PDF is one file
    target.write_bytes(made)


def _groups(pictures: tuple[PictureFile, ...]) -> Iterator[dict[str, object]]:
    """The pictures of each page of the manual, with the size that each gets."""
    for page in dict.fromkeys(picture.page.anchor for picture in pictures):
        own = [picture for picture in pictures if picture.page.anchor == page]
        first = own[0].page
        title = f"{first.mark} {first.title}".strip() if not first.title.startswith(first.mark) else first.title
        yield {"title": title, "pictures": [_cell(picture) for picture in own]}


def _cell(picture: PictureFile) -> dict[str, object]:
    figure = picture.figure
    share = min(1.0, _WIDEST / figure.width_mm, _HIGHEST / figure.height_mm)
    size = "" if share == 1.0 else f" ({share:.0%})"
    caption = f"{figure.number}. {figure.caption}" if figure.number else figure.caption
    return {
        "file": picture.name,
        "width": round(figure.width_mm * share, 2),
        "caption": caption + size,
        "alt": figure.alt,
    }
