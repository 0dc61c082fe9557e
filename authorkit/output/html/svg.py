"""Drawings inside a page: SVG rebuilt from a list of what a still picture needs.

Nothing is cleaned in place. The picture is read as XML and written anew from the elements and attributes listed here,
so whatever is not listed cannot reach the page. Style rules become attributes, because the pages forbid inline styles.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from xml.etree import ElementTree

from authorkit.output.html.markup import escape
from authorkit.output.html.svg_style import Rule, declarations, read_rules, style_of

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = ("href", "{http://www.w3.org/1999/xlink}href")

# What a still picture is made of (SVG 1.1 names).
_ELEMENT_NAMES = """
circle ellipse g line path polygon polyline rect text tspan use
clipPath defs linearGradient marker mask pattern radialGradient stop symbol
"""
_GEOMETRY_NAMES = """
clipPathUnits cx cy d dx dy fx fy gradientTransform gradientUnits height id lengthAdjust markerHeight markerUnits
markerWidth maskContentUnits maskUnits offset orient patternContentUnits patternTransform patternUnits points
preserveAspectRatio r refX refY rotate rx ry spreadMethod textLength transform viewBox width x x1 x2 y y1 y2
"""
_PAINT_NAMES = """
clip-path clip-rule color display dominant-baseline fill fill-opacity fill-rule font-family font-size font-stretch
font-style font-weight letter-spacing marker-end marker-mid marker-start mask opacity overflow paint-order
shape-rendering stop-color stop-opacity stroke stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin
stroke-miterlimit stroke-opacity stroke-width text-anchor text-decoration vector-effect visibility word-spacing
"""
_ELEMENTS = frozenset(_ELEMENT_NAMES.split())
_GEOMETRY = frozenset(_GEOMETRY_NAMES.split())
_PAINT = frozenset(_PAINT_NAMES.split())
# Left out without a word: they show nothing.
_SILENT = frozenset({"desc", "metadata", "style", "title"})
_LOCAL = re.compile(r"""url\(\s*(['"]?)#([^'"()\s]+)\1\s*\)""")
_BLACK = re.compile(r"(?:#000|#000000|black|rgb\(0, ?0, ?0\))\Z")

# Stands in names until the page gives the drawing its number; no XML name can hold it.
_NUMBER = "\x00"


@dataclass(frozen=True)
class Drawing:
    """A rebuilt picture: its markup below the root, its view box, and what had to be left out."""

    body: str
    view_box: str
    refused: tuple[str, ...]

    def markup(self, number: int, attributes: Mapping[str, str]) -> str:
        """The <svg> element with the given attributes; `number` keeps its ids apart from other drawings' ids."""
        words = "".join(f' {name}="{escape(value)}"' for name, value in attributes.items())
        body = self.body.replace(_NUMBER, f"d{number}-")
        return f'<svg viewBox="{escape(self.view_box)}"{words}>{body}</svg>'


@lru_cache(maxsize=256)
def rebuild(data: bytes, *, in_text_colour: bool = False) -> Drawing:
    """Read a picture and write it anew; with `in_text_colour` black becomes the colour of the text around it.

    What cannot be read at all becomes an empty drawing whose `refused` says why.
    """
    try:
        text = data.decode("utf-8-sig")
        if "<!ENTITY" in text:
            return Drawing("", "0 0 1 1", ("entity declarations",))
        root = ElementTree.fromstring(text)
    except (UnicodeDecodeError, ElementTree.ParseError) as fault:
        return Drawing("", "0 0 1 1", (f"something that is not XML in UTF-8 ({fault})",))
    if root.tag != f"{_SVG}svg":
        return Drawing("", "0 0 1 1", (f"a root element '{_local_name(root)}' that is not 'svg'",))
    return _Builder(read_rules(_style_text(root)), in_text_colour).drawing(root)


def _style_text(root: ElementTree.Element) -> str:
    return "\n".join(element.text or "" for element in root.iter(f"{_SVG}style"))


class _Builder:
    """Writes one drawing; `refused` fills up with what was left out and matters."""

    def __init__(self, rules: tuple[Rule, ...], in_text_colour: bool) -> None:
        self.rules = rules
        self.in_text_colour = in_text_colour
        self.refused: list[str] = []
        if any(rule.selector.startswith("@") for rule in rules):
            self.refused.append("a style rule that begins with '@'")

    def drawing(self, root: ElementTree.Element) -> Drawing:
        """The whole picture."""
        paint = self.attributes(root, only=_PAINT)
        if self.in_text_colour:
            paint = f' fill="currentColor"{paint}' if ' fill="' not in paint else paint
        inner = self.children(root)
        body = f"<g{paint}>{inner}</g>" if paint else inner
        return Drawing(body, _view_box(root), tuple(dict.fromkeys(self.refused)))

    def element(self, element: ElementTree.Element) -> str:
        """One element with all below it, or ''."""
        kind: object = element.tag
        if not isinstance(kind, str):  # a comment or a processing instruction
            return ""
        name = _local_name(element)
        if not element.tag.startswith(_SVG) or name in _SILENT:
            return ""
        if name not in _ELEMENTS:
            self.refused.append(f"an element '{name}'")
            return ""
        return f"<{name}{self.attributes(element)}>{self.children(element)}</{name}>"

    def children(self, element: ElementTree.Element) -> str:
        """Everything below an element; characters count only inside text."""
        is_text = _local_name(element) in ("text", "tspan")
        pieces = [escape(element.text or "")] if is_text else []
        for child in element:
            pieces.append(self.element(child))
            if is_text:
                pieces.append(escape(child.tail or ""))
        return "".join(pieces)

    def attributes(self, element: ElementTree.Element, only: frozenset[str] | None = None) -> str:
        """Attributes as markup: the listed ones, then what the style rules and the style attribute say."""
        values = {name: value for name, value in element.attrib.items() if self.is_kept(name, value)}
        values |= {name: value for name, value in self.style(element) if name in _PAINT}
        allowed = only or _GEOMETRY | _PAINT
        pieces = []
        for name, value in values.items():
            if name in allowed and (safe := self.value(name, value)):
                pieces.append(f' {name}="{safe}"')
        return "".join(pieces) + self.reference(element)

    def is_kept(self, name: str, value: str) -> bool:
        """Whether an attribute is listed; handlers of events are refused aloud, the rest falls silently."""
        if name.lower().startswith("on"):
            self.refused.append(f"an attribute '{name}'")
        return name in _GEOMETRY or name in _PAINT

    def style(self, element: ElementTree.Element) -> Iterator[tuple[str, str]]:
        """What style rules and the element's own style say, weakest first."""
        classes = (element.get("class") or "").split()
        yield from style_of(self.rules, _local_name(element), classes, element.get("id") or "")
        yield from declarations(element.get("style") or "")

    def value(self, name: str, value: str) -> str:
        """An attribute's value as markup: names numbered, black as text colour, '' if it points outside."""
        if name == "id":
            return _NUMBER + escape(_name(value))
        if "url" in value.lower():
            match = _LOCAL.fullmatch(value.strip())
            if match is None:
                self.refused.append(f"a reference to '{value}'")
                return ""
            return f"url(#{_NUMBER}{escape(_name(match.group(2)))})"
        if self.in_text_colour and name in ("fill", "stroke") and _BLACK.match(value.strip()):
            return "currentColor"
        return escape(value.strip() if name in _PAINT else value)

    def reference(self, element: ElementTree.Element) -> str:
        """The reference of a 'use' or a gradient, which must lead into the same drawing."""
        target = next((element.attrib[key] for key in _HREF if key in element.attrib), None)
        if target is None:
            return ""
        if not target.startswith("#"):
            self.refused.append(f"a reference to '{target[:60]}'")
            return ""
        return f' href="#{_NUMBER}{escape(_name(target[1:]))}"'


def _local_name(element: ElementTree.Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _name(value: str) -> str:
    """An id without blanks, which an HTML id must not hold."""
    return re.sub(r"\s+", "-", value.strip())


def _view_box(root: ElementTree.Element) -> str:
    """The root's view box, or one that shows its whole width and height."""
    found = (root.get("viewBox") or "").replace(",", " ").split()
    if len(found) == 4 and all(_NUMBER_FORM.fullmatch(part) for part in found):
        return " ".join(found)
    width, height = (_LENGTH.match(root.get(name) or "") for name in ("width", "height"))
    return f"0 0 {width.group() if width else 300} {height.group() if height else 150}"


_NUMBER_FORM = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?", re.IGNORECASE)
_LENGTH = re.compile(r"\d+\.?\d*|\.\d+")
