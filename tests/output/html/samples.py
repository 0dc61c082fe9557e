"""Small manuals and pages for the tests of the HTML writer."""

from __future__ import annotations

from collections.abc import Iterable

from authorkit.manual.blocks import Block, Heading, Manual, Page
from authorkit.output.html.addresses import find_addresses
from authorkit.output.html.blocks import blocks_html
from authorkit.output.html.inline import View
from tests.output.html.reading import Element, read_html


def small_manual(*pages: Page) -> Manual:
    """A manual of these pages."""
    return Manual("Manual", "", "en", "2026-11-02", "Workshop", (), pages)


def chapter(code: str, *blocks: Block, system: str = "") -> Page:
    """A chapter of these blocks."""
    return Page(code, f"Title of {code}", "chapter", blocks, mark=code, system=system, source=f"chapters/{code}.ipynb")


def view_of(*anchors: str, file: str = "P0118.html") -> View:
    """What a page looks at in a manual whose only other page, P0117, holds these anchors."""
    headings = tuple(Heading(2, anchor, anchor) for anchor in anchors)
    return View(find_addresses(small_manual(chapter("P0117", *headings), chapter("P0118"))), file)


def rendered(blocks: Iterable[Block], view: View | None = None) -> Element:
    """Blocks as HTML, read back."""
    return read_html(blocks_html(blocks, view or view_of()))
