"""The printed pages of one chapter as pictures: what the PDF of the manual shows, without making the manual."""

from __future__ import annotations

from dataclasses import replace

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Inline, Link, Manual, Page, Text
from authorkit.manual.markdown import plain
from authorkit.manual.numbering import map_links
from authorkit.model.book import PageSize
from authorkit.output.pdf.checks import page_anchors, print_problems, refused
from authorkit.output.pdf.faces import load_faces
from authorkit.output.pdf.part_sources import parts_of
from authorkit.output.pdf.parts import Fault, Numbers
from authorkit.output.pdf.typeset import depict
from authorkit.output.pdf.typst_pages import write_sheets
from authorkit.problems import Problem

DOTS_PER_INCH = 110.0


def page_pictures(
    manual: Manual, page_size: PageSize, dots_per_inch: float = DOTS_PER_INCH
) -> tuple[tuple[bytes, ...], tuple[Problem, ...]]:
    """The printed pages of the manual's first page as PNG, or what cannot be printed.

    They are numbered from 1, and a reference to another page of the manual has no page number.
    """
    page = _without_outside_links(manual.pages[0])
    alone = replace(manual, pages=(page,))
    faces = load_faces(font_folder())
    problems = tuple(print_problems(alone, faces, page_size))
    if problems:
        return (), problems
    (part,) = parts_of(alone, write_sheets(alone, faces), page_size)
    made = depict(part, Numbers(1, ()), dots_per_inch)
    faults = tuple(fault for fault in made if isinstance(fault, Fault))
    pictures = tuple(picture for picture in made if isinstance(picture, bytes))
    return pictures, tuple(refused(page, fault.message, fault.suggestion) for fault in faults)


def _without_outside_links(page: Page) -> Page:
    """The page with the words alone of every reference that leads out of it."""
    inside = {*page_anchors(page)}

    def words(link: Link) -> Inline:
        return link if link.target in inside else Text(plain(link.children))

    return replace(page, blocks=tuple(map_links(block, words) for block in page.blocks))
