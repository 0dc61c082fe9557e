"""Running text of the author's Markdown: emphasis, code, links, references, formulas, pictures."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from urllib.parse import unquote

from markdown_it.tree import SyntaxTreeNode

from authorkit.drawing.formula import FormulaError, draw_formula
from authorkit.manual.blocks import (
    Block,
    Code,
    Emphasis,
    Inline,
    Inlines,
    LineBreak,
    Link,
    Picture,
    Strong,
    Text,
    WebLink,
)
from authorkit.model.reference import find_references
from authorkit.problems import Place, Problem

Resolve = Callable[[str, str], Inline | None]
"""Gives the inline that a live reference (kind, target) becomes; None if it points nowhere."""

PictureOf = Callable[[str, str, str], Block | None]
"""Gives the block of a picture by its path below figures/, its text in brackets and its title, or None."""

_SCHEME = re.compile(r"([a-z][a-z0-9+.-]*):", re.IGNORECASE)
# Schemes that only lead somewhere; all others can do something ('javascript:'), carry something ('data:') or depend on
# the reader's machine ('file:').
_LEADING_SCHEMES = ("http", "https", "mailto")
_HTML_NAME = re.compile(r"</?\s*([a-z][a-z0-9-]*)", re.IGNORECASE)


@dataclass
class Reading:
    """What reading one text needs and what it finds: the problems, and pictures waiting to follow their paragraph."""

    resolve: Resolve
    place: Place
    picture: PictureOf | None = None
    problems: list[Problem] = field(default_factory=list)
    pictures: list[Block] = field(default_factory=list)
    opened: set[str] = field(default_factory=set)

    def at(self, line: int) -> Place:
        """The place of a line of the text, counted from 0; the text begins at the line of its own place."""
        return Place(self.place.file, self.place.cell, max(self.place.line, 1) + line)

    def report(self, rule: str, line: int, message: str, **quotes: str | None) -> None:
        """Note a finding at a line of the text; `quotes` are found, expected and suggestion."""
        found, expected, suggestion = (quotes.get(name) for name in ("found", "expected", "suggestion"))
        self.problems.append(Problem(rule, message, self.at(line), found, expected, suggestion))


def read_inlines(node: SyntaxTreeNode, line: int, reading: Reading) -> Inlines:
    """The running text of an 'inline' node that begins at `line`."""
    return _Line(node.content, line, reading).read(node.children)


class _Line:
    """Reads one stretch of running text; keeps count of the lines, for findings."""

    def __init__(self, source: str, line: int, reading: Reading) -> None:
        self.source = source
        self.first_line = line
        self.done = 0
        self.reading = reading
        self.in_link = False

    def read(self, nodes: Iterable[SyntaxTreeNode]) -> Inlines:
        """Inlines in order, neighbouring words joined."""
        joined: list[Inline] = []
        for inline in (inline for node in nodes for inline in self.one(node)):
            if isinstance(inline, Text) and joined and isinstance(joined[-1], Text):
                joined[-1] = Text(joined[-1].text + inline.text)
            else:
                joined.append(inline)
        return tuple(joined)

    def line_of(self, content: str) -> int:
        """The line on which the next `content` stands; what cannot be found, for it was decoded, stands on this one."""
        at = self.source.find(content, self.done)
        self.done = self.done if at < 0 else at
        return self.first_line + self.source.count("\n", 0, self.done)

    def one(self, node: SyntaxTreeNode) -> Iterator[Inline]:
        """What one node becomes; a text of no length becomes nothing."""
        match node.type:
            case "text":
                yield from (Text(node.content),) if node.content else ()
            case "softbreak" | "hardbreak":
                self.done = self.source.find("\n", self.done) + 1
                yield Text(" ") if node.type == "softbreak" else LineBreak()
            case "code_inline":
                yield Code(node.content)
            case "em":
                yield Emphasis(self.read(node.children))
            case "strong":
                yield Strong(self.read(node.children))
            case _:
                yield from self.special(node)

    def special(self, node: SyntaxTreeNode) -> Inlines:
        """Nodes that can be refused."""
        match node.type:
            case "reference":
                return self.reference(node)
            case "link":
                return self.link(node)
            case "image":
                return self.image(node)
            case "math_inline":
                return (self.formula(node),)
            case "html_inline":
                return self.html(node)
            case other:
                raise ValueError(f"the Markdown parser gave a node '{other}' that nobody reads")

    def reference(self, node: SyntaxTreeNode) -> Inlines:
        """A live reference; inside a link only its words. One that points nowhere stays as typed."""
        inline = self.reading.resolve(node.meta["kind"], node.meta["target"])
        if inline is None:
            return (Text(node.content),)
        return inline.children if self.in_link and isinstance(inline, Link | WebLink) else (inline,)

    def html(self, node: SyntaxTreeNode) -> Inlines:
        """Raw HTML: printed as it was typed, and reported. An end tag is reported with its start tag."""
        match = _HTML_NAME.match(node.content)
        name = match.group(1).lower() if match else ""
        if not (node.content.startswith("</") and name in self.reading.opened):
            self.reading.opened.add(name)
            self.reading.report(
                "prose-unsafe",
                self.line_of(node.content),
                f"'{_short(node.content)}' is HTML; the manual prints it as typed, signs and all.",
                found=_short(node.content),
                expected="Markdown",
                suggestion="Write it in Markdown, or put it between backquotes if it is meant to be seen.",
            )
        return (Text(node.content),)

    def link(self, node: SyntaxTreeNode) -> Inlines:
        """A link to an address outside, to an anchor or to another notebook; a refused one leaves its words."""
        outer, self.in_link = self.in_link, True
        children = self.read(node.children)
        self.in_link = outer
        address = str(node.attrs.get("href", ""))
        scheme = _SCHEME.match(address)
        if scheme and scheme.group(1).lower() in _LEADING_SCHEMES:
            return (WebLink(address, children),)
        if scheme or address.startswith("//"):
            self.refuse_address(address)
            return children
        inside = self.inside(address)
        return (Link(inside.target, children, inside.page),) if inside else children

    def inside(self, address: str) -> Link | None:
        """The link that an address without a scheme stands for: '#anchor' or 'P0118.ipynb'."""
        path, _, anchor = unquote(address).partition("#")
        if not path and anchor:
            return Link(anchor, ())
        stem = path.rpartition("/")[2].removesuffix(".ipynb")
        found = self.reading.resolve("code", stem) if path.endswith(".ipynb") else None
        if isinstance(found, Link):
            return found
        self.reading.report(
            "link-dangling",
            self.line_of(path),
            f"The link to '{_short(address)}' leads to nothing in the manual; its words are printed without it.",
            found=_short(address),
            expected="a web address, '#' and an anchor, or the notebook of a code",
            suggestion="Use a live reference such as {code:P0118}.",
        )
        return None

    def refuse_address(self, address: str) -> None:
        """Report an address that a page must not hold."""
        self.reading.report(
            "prose-unsafe",
            self.line_of(_SCHEME.split(address, maxsplit=1)[0] or address[:20]),
            f"The address '{_short(address)}' is not one that a page may lead to; its words are printed without it.",
            found=_short(address),
            expected="an address that begins with https:, http: or mailto:",
        )

    def image(self, node: SyntaxTreeNode) -> Inlines:
        """A picture of the author's. It follows the paragraph as a figure; what cannot be shown leaves its words."""
        source = unquote(str(node.attrs.get("src", "")))
        named = next(find_references(source), None)
        if named:
            inline = self.reading.resolve(named.kind, named.target)
            return (inline,) if inline else (Text(source),)
        alt, title = node.content, str(node.attrs.get("title", ""))
        path = _below_figures(source)
        block = self.reading.picture(path, alt, title) if path and self.reading.picture else None
        if block is None:
            self.report_picture(source)
            return (Text(alt or title),) if alt or title else ()
        self.reading.pictures.append(block)
        return ()

    def report_picture(self, source: str) -> None:
        """Report a picture that cannot be shown: one from outside is unsafe, one from inside is missing."""
        from_outside = bool(_SCHEME.match(source)) or source.startswith("//")
        self.reading.report(
            "prose-unsafe" if from_outside else "figure-missing",
            self.line_of(source[:40]),
            f"The picture '{_short(source)}' cannot be shown here; its words are printed instead.",
            found=_short(source),
            expected="a file of figures/ that the chapter lists under 'figures', or {figure:ID}",
            suggestion="Save the picture in figures/, list it under 'figures' and refer to it as {figure:ID}.",
        )

    def formula(self, node: SyntaxTreeNode) -> Inline:
        """A formula in the line; one that cannot be set is printed as typed."""
        return read_formula(node.content, self.line_of(node.content), self.reading)


def read_formula(tex: str, line: int, reading: Reading) -> Inline:
    """A formula as a picture whose alternative text is its source."""
    source = " ".join(tex.split())
    try:
        drawn = draw_formula(source)
    except FormulaError as fault:
        reading.report(
            "value-malformed",
            line,
            f"The formula '{_short(source)}' cannot be set: {fault}.",
            found=source,
            expected="TeX mathematics without environments",
        )
        return Text(f"${source}$")
    return Picture(drawn.svg, source, drawn.width, drawn.height, drawn.depth)


def _below_figures(source: str) -> str:
    """The path of a picture below figures/, as written from a notebook or from the manual's folder; '' if elsewhere."""
    path = re.sub(r"^(?:\.{1,2}/)+", "", source.replace("\\", "/"))
    parts = path.split("/")
    if parts[0] != "figures" or len(parts) < 2 or any(part in ("", ".", "..") for part in parts):
        return ""
    return "/".join(parts[1:])


def _short(text: str) -> str:
    """A quotation of at most 60 signs, on one line."""
    line = " ".join(text.split())
    return line if len(line) <= 60 else line[:57] + "..."
