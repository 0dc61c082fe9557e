"""Pictures that the typesetter would take without a word and print wrong."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree

from authorkit.output.pdf.faces import Faces

_PNG = b"\x89PNG\r\n\x1a\n"
_FAMILY = re.compile(r"font-family\s*:\s*([^;}]+)")
_SHORTHAND = re.compile(r"(?:^|[;{\s])font\s*:\s*([^;}]+)")
_SVG = "{http://www.w3.org/2000/svg}"


def picture_faults(data: bytes, media: str, alt: str, faces: Faces) -> Iterator[str]:
    """What is wrong with a picture, as the rest of a sentence that begins with its name."""
    if not alt.strip():
        yield "has no words that say what it shows."
    if media == "svg":
        yield from _svg_faults(data, faces)
    elif media != "png":
        yield f"is of the kind '{media}'; expected svg or png."
    elif not data.startswith(_PNG):
        yield "is not a PNG file, although it says so."


def _svg_faults(data: bytes, faces: Faces) -> Iterator[str]:
    """Text in a font that is not shipped would silently come out in another one, signs without a glyph as boxes."""
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        yield f"is not readable as SVG: {error}."
        return
    if root.tag not in (f"{_SVG}svg", "svg"):
        yield "is not an SVG drawing."
    elif _outside_picture(root):
        yield "takes in another file; a drawing must hold everything itself."
    else:
        yield from dict.fromkeys(_text_faults(root, _sheet_family(root), faces))


def _outside_picture(root: ElementTree.Element) -> bool:
    hrefs = [value for element in root.iter() for name, value in element.attrib.items() if name.endswith("href")]
    return any(not value.startswith(("#", "data:")) for value in hrefs)


def _sheet_family(root: ElementTree.Element) -> str:
    """The last family that a style sheet inside the drawing names, as the one its text may be set in."""
    styles = " ".join(element.text or "" for element in root.iter(f"{_SVG}style"))
    return _declared(styles)


def _declared(style: str) -> str:
    """The family of a style: from `font-family`, or the end of the `font` shorthand ('10px Arial')."""
    families = _FAMILY.findall(style)
    if families:
        return str(families[-1])
    shorthand = _SHORTHAND.findall(style)
    return re.sub(r"^.*?\d(?:px|pt|mm|em|%)?(?:/\S+)?\s+", "", shorthand[-1]) if shorthand else ""


def _text_faults(element: ElementTree.Element, inherited: str, faces: Faces) -> Iterator[str]:
    family = _declared(element.get("style", "")) or element.get("font-family", "") or inherited
    if element.tag == f"{_SVG}text":
        text = "".join(element.itertext())
        first = family.split(",")[0].strip(" '\"")
        if first not in faces.families:
            asked = f"'{first}'" if first else "no font by name"
            yield f"has text that asks for {asked}; expected {_listed(faces.families)}."
        sign = faces.regular.lacks(text)
        if sign:
            yield f"has the sign '{sign}' (U+{ord(sign):04X}), which {faces.regular.name} has not."
    for child in element:
        yield from _text_faults(child, family, faces)


def _listed(names: frozenset[str]) -> str:
    return " or ".join(f"'{name}'" for name in sorted(names))
