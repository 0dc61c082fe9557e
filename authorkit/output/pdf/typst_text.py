"""Words as Typst code: the only place where a character of the author's meets the typesetter's language.

Every word becomes a string literal, which Typst prints and never reads as markup.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

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
from authorkit.output.pdf.inside_links import address_of
from authorkit.output.unparted import LONGEST_UNPARTED, SPACES, pieces_of

_ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"})
# Signs without a width that only spoil a search in the finished file: soft hyphen, joiner, variation selectors.
INVISIBLE = re.compile("[\u00ad\u2060\ufe00-\ufe0f]")


def literal(text: str) -> str:
    r"""A Typst string literal of this text.

    >>> print(literal('say "#read"'))
    "say \"#read\""
    """
    return f'"{INVISIBLE.sub("", text).translate(_ESCAPES)}"'


def optional(text: str) -> str:
    """A literal, or `none` for no text."""
    return literal(text) if text else "none"


def running(text: str) -> str:
    """Text inside a paragraph: line ends and runs of spaces are one space, codes and values stay in one piece."""
    return "; ".join(f"m.keep({literal(piece)})" if kept else literal(piece) for piece, kept in pieces_of(text))


def braced(statements: Iterable[str]) -> str:
    """A Typst code block that shows its statements one after the other; an empty one shows nothing."""
    return "{" + "; ".join(statements) + "}" if (statements := list(statements)) else '""'


def array(items: Iterable[str]) -> str:
    """A Typst array; the comma after the last item keeps one item from being a mere pair of brackets."""
    return "(" + "".join(f"{item}, " for item in items) + ")"


def inlines(children: Iterable[Inline], pictures: Mapping[bytes, str]) -> str:
    """A line of text as one Typst expression; `pictures` names the file of each small picture."""
    return braced(_inline(child, pictures) for child in children)


def _inline(child: Inline, pictures: Mapping[bytes, str]) -> str:
    match child:
        case Text(text):
            return running(text)
        case Strong(children):
            return f"strong({inlines(children, pictures)})"
        case Emphasis(children):
            return f"emph({inlines(children, pictures)})"
        case Code(text):
            return _code(text)
        case Link(target, children, page):
            address = literal(address_of(target, plain(children)))
            return f"m.see({address}, {literal(target)}, page: {str(page).lower()}, {inlines(children, pictures)})"
        case WebLink(address, children):
            return _web(address, children, pictures)
        case Picture(svg, alt, width, height, depth):
            size = f"width: {width:.3f}pt, height: {height:.3f}pt"
            return f"m.picture({depth:.3f}, {image(pictures[svg], size, alt)})"
        case LineBreak():
            return "linebreak()"


def plain(children: Iterable[Inline]) -> str:
    """The words of a line without their look; a small picture says what it shows."""
    return "".join(_plain(child) for child in children)


def _plain(child: Inline) -> str:
    match child:
        case Text(text) | Code(text):
            return text
        case Picture(_, alt):
            return alt
        case LineBreak():
            return " "
        case Strong(children) | Emphasis(children) | Link(_, children) | WebLink(_, children):
            return plain(children)


def image(path: str, size: str, alt: str) -> str:
    """A picture of the build folder; called from the page's own file, so that what is wrong with it names the page."""
    return f"image({literal(path)}, {size}, alt: {literal(alt)})"


def _code(text: str) -> str:
    raw = f"raw({literal(SPACES.sub(' ', text))})"
    return f"m.keep({raw})" if len(text) <= LONGEST_UNPARTED else raw


def _web(address: str, children: tuple[Inline, ...], pictures: Mapping[bytes, str]) -> str:
    """Print shows the address; a link whose words are the address does not say it twice."""
    same = children == (Text(address),) or not children
    shown = f"raw({literal(address)})" if same else inlines(children, pictures)
    return f"m.web({literal(address)}, {shown}, print-address: {str(not same).lower()})"
