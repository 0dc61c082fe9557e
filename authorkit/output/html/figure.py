"""Figures as HTML: drawings within the page, photographs as files beside it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping

from authorkit.manual.blocks import Figure, Manual, Page, Picture, all_blocks
from authorkit.output.html.addresses import fragment
from authorkit.output.html.inline import View
from authorkit.output.html.markup import tag
from authorkit.output.html.svg import rebuild
from authorkit.output.html.table import numbered
from authorkit.output.html.walk import flat, inlines_of
from authorkit.problems import Place, Problem

FIGURES = "assets/figures"
_PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"  # Portable Network Graphics, third edition, 5.2
_PIXELS_PER_MM = 96 / 25.4  # CSS Values and Units 3, 6.2: 1in = 96px


def figure_html(figure: Figure, view: View) -> str:
    """A figure with its caption below; a drawing wider than the screen scrolls in a region of its own."""
    caption_id = view.claim(f"d{next(view.numbers)}-caption") if figure.caption or figure.number else ""
    caption = tag("figcaption", numbered(figure.number, figure.caption), id=caption_id) if caption_id else ""
    drawn = _drawing(figure, view) if figure.media == "svg" else _photograph(figure)
    sheet = tag(
        "div",
        drawn,
        class_="sheet scroll",
        role="group",
        tabindex="0",
        aria_labelledby=caption_id,
        aria_label=None if caption_id else figure.alt,
    )
    kind = "drawing" if figure.media == "svg" else "photograph"
    classes = f"{kind} landscape" if figure.landscape else kind
    return tag("figure", sheet, caption, id=view.claim(fragment(figure.anchor)), class_=classes)


def _drawing(figure: Figure, view: View) -> str:
    return rebuild(figure.data).markup(
        next(view.numbers),
        {
            "width": f"{figure.width_mm:g}mm",
            "height": f"{figure.height_mm:g}mm",
            "role": "img",
            "aria-label": figure.alt,
        },
    )


def _photograph(figure: Figure) -> str:
    width, height = (str(max(1, round(mm * _PIXELS_PER_MM))) for mm in (figure.width_mm, figure.height_mm))
    if not figure.data.startswith(_PNG_SIGNATURE):
        return tag("p", class_="missing")
    return tag("img", src=f"{FIGURES}/{_file_name(figure.data)}", alt=figure.alt, width=width, height=height)


def _file_name(data: bytes) -> str:
    return f"{hashlib.sha256(data).hexdigest()[:20]}.png"


def photograph_files(manual: Manual) -> Mapping[str, bytes]:
    """The files of all photographs by their path in the manual's folder; equal pictures are one file."""
    return {
        f"{FIGURES}/{_file_name(figure.data)}": figure.data
        for _, figure in _figures(manual)
        if figure.media == "png" and figure.data.startswith(_PNG_SIGNATURE)
    }


def _figures(manual: Manual) -> Iterator[tuple[Page, Figure]]:
    for page in manual.pages:
        for block in all_blocks(page.blocks):
            if isinstance(block, Figure):
                yield page, block


def figure_problems(manual: Manual) -> Iterator[Problem]:
    """What figures and formulas hold that no page may hold."""
    for page in manual.pages:
        for block in all_blocks(page.blocks):
            if isinstance(block, Figure):
                name = block.number or block.caption or block.alt
                refused = rebuild(block.data).refused if block.media == "svg" else _not_a_png(block)
                yield from (_refused(page, f"The figure '{name}'", what) for what in refused)
            for inlines in inlines_of(block):
                for inline in flat(inlines):
                    if isinstance(inline, Picture):
                        refused = rebuild(inline.svg, in_text_colour=True).refused
                        yield from (_refused(page, f"The formula '{inline.alt}'", what) for what in refused)


def _not_a_png(figure: Figure) -> tuple[str, ...]:
    return () if figure.data.startswith(_PNG_SIGNATURE) else ("data that is not a PNG picture",)


def _refused(page: Page, culprit: str, what: str) -> Problem:
    return Problem(
        "page-refused",
        f"{culprit} on page '{page.title}' holds {what}, which no page may hold; it was left out.",
        Place(page.source),
        found=what,
        expected="shapes and text without scripts, links, style sheets or parts from outside",
        suggestion="Save the picture again as plain SVG or as PNG.",
    )
