"""Running text as HTML."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from itertools import count

from authorkit.drawing.formula import FORMULA_SIZE
from authorkit.manual.blocks import (
    Code,
    Emphasis,
    Inline,
    LineBreak,
    Link,
    Picture,
    Strong,
    Text,
    WebLink,
)
from authorkit.output.html.addresses import Addresses
from authorkit.output.html.markup import escape, tag
from authorkit.output.html.style import depth_class
from authorkit.output.html.svg import rebuild
from authorkit.output.unparted import pieces_of

# Schemes that only ever lead somewhere; others (javascript, data, file ...) can do something.
_HARMLESS_ADDRESS = re.compile(r"(?:https?://|mailto:)[^\s\x00-\x1f]+\Z", re.IGNORECASE)


@dataclass(frozen=True)
class View:
    """What writing one page looks at: its own file and everybody's addresses.

    `numbers` counts the page's drawings and `used` holds the ids given so far, so that no id stands twice in a file.
    """

    addresses: Addresses
    file: str
    numbers: Iterator[int] = field(default_factory=lambda: count(1))
    used: set[str] = field(default_factory=set)
    links: bool = True

    def claim(self, fragment: str) -> str:
        """The id if it is still free on this page, '' if not."""
        if not fragment or fragment in self.used:
            return ""
        self.used.add(fragment)
        return fragment

    def without_links(self) -> View:
        """The same view inside a link, which must not hold another."""
        return replace(self, links=False)


def inline_html(inlines: Iterable[Inline], view: View) -> str:
    """Running text."""
    return "".join(_one(inline, view) for inline in inlines)


def _one(inline: Inline, view: View) -> str:
    match inline:
        case Text(text):
            return unparted(text)
        case Code(text):
            return tag("code", escape(text))
        case Strong(children):
            return tag("strong", inline_html(children, view))
        case Emphasis(children):
            return tag("em", inline_html(children, view))
        case Link(target, children):
            return link_html(target, inline_html(children, view.without_links()), view)
        case WebLink():
            return _web_link(inline, view)
        case Picture():
            return _picture(inline, view)
        case LineBreak():
            return tag("br")


def unparted(text: str) -> str:
    """Plain text as markup; a cavity, a colour or a value with its unit is not parted at the end of a line."""
    pieces = ((escape(piece), kept) for piece, kept in pieces_of(text))
    return "".join(tag("span", piece, class_="keep") if kept else piece for piece, kept in pieces)


def link_html(target: str, content: str, view: View, class_: str = "") -> str:
    """A link into the manual; its words alone where there is nothing to lead to or where links may not stand."""
    href = view.addresses.href(target, view.file) if view.links else None
    return tag("a", content, href=href, class_=class_) if href else content


def _web_link(link: WebLink, view: View) -> str:
    content = inline_html(link.children, view.without_links())
    if not view.links or not _HARMLESS_ADDRESS.match(link.address):
        return content
    return tag("a", content, href=link.address, class_="outside", rel="noopener noreferrer")


def _picture(picture: Picture, view: View) -> str:
    """A formula, its size and its depth below the line given in the size of the text around it."""
    return rebuild(picture.svg, in_text_colour=True).markup(
        next(view.numbers),
        {
            "class": f"formula {depth_class(picture.depth / FORMULA_SIZE)}",
            "width": f"{picture.width / FORMULA_SIZE:.3f}em",
            "height": f"{picture.height / FORMULA_SIZE:.3f}em",
            "role": "img",
            "aria-label": picture.alt,
        },
    )
