"""Slides as one HTML file that carries everything inside: for a projector without a network, and for print."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from authorkit.manual.blocks import Manual, Page, all_blocks
from authorkit.manual.slides import Slide, slides_of
from authorkit.output.html.addresses import Addresses, fragment
from authorkit.output.html.blocks import blocks_html
from authorkit.output.html.figure import figure_problems, photograph_files
from authorkit.output.html.frame import filled_in
from authorkit.output.html.inline import View
from authorkit.output.html.lists import split_title, title_html
from authorkit.output.html.lone import dress_of, with_pictures
from authorkit.output.html.markup import escape, tag
from authorkit.output.html.style import style_sheet
from authorkit.output.html.walk import anchors_of, without_skips
from authorkit.output.html.words import FRAME_WORDS
from authorkit.output.tokens import theme_file
from authorkit.problems import Problem

_FILE = "slides.html"


@dataclass(frozen=True)
class _Shown:
    """A slide for the template."""

    mark: str
    title: str
    label: str
    body: str
    opens: bool


@dataclass(frozen=True)
class _ChapterLine:
    """A chapter on the first slide."""

    href: str
    mark: str
    title: str


def slides_html(manual: Manual, name: str) -> tuple[str, tuple[Problem, ...]]:
    """All pages of a manual, which are chapters, as slides; `name` says on the first one what they are about.

    References lead to the slide that shows what they name; those to what no slide shows are printed as words.
    """
    view = View(_addresses(manual.pages), _FILE)
    shown = [_shown(slide, view) for page in manual.pages for slide in slides_of(page)]
    style = style_sheet() + theme_file("html/slides.css").decode("utf-8")
    text = filled_in(
        "slides.html",
        manual,
        alone=dress_of("slides.js", style)("".join(each.body for each in shown)),
        chapters=[_ChapterLine(f"#{fragment(page.anchor)}", *split_title(page)) for page in manual.pages],
        name=name,
        slides=shown,
        warnings=manual.warnings,
        words=FRAME_WORDS,
    )
    return with_pictures(text, photograph_files(manual)), tuple(figure_problems(manual))


def _addresses(pages: Iterable[Page]) -> Addresses:
    """Everything is in one file; a chapter's own anchor is its first slide."""
    anchors: dict[str, tuple[str, str]] = {}
    for page in pages:
        names = [page.anchor, *(name for block in all_blocks(page.blocks) for name in anchors_of(block))]
        for name in names:
            anchors.setdefault(name, (_FILE, fragment(name)))
    return Addresses({page.anchor: _FILE for page in pages}, anchors)


def _shown(slide: Slide, view: View) -> _Shown:
    mark, title = split_title(slide.page)
    marks = "".join(tag("span", id=view.claim(fragment(name))) for name in slide.anchors)
    if slide.opens:
        head = tag("h1", title_html(slide.page), id=view.claim(fragment(slide.page.anchor)))
    else:
        head = tag("h2", marks, escape(slide.section)) if slide.section else marks
    label = ": ".join(filter(None, (f"{mark} {title}".strip(), slide.section)))
    body = f"{head}\n{blocks_html(without_skips(slide.blocks), view)}"
    return _Shown(mark, title, label, body, slide.opens)
