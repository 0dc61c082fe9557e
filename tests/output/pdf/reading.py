"""Reading a finished PDF with programs that had no part in making it: poppler's pdftotext, pypdf."""

from __future__ import annotations

import re
import subprocess
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from pypdf import PdfReader

_XHTML = "{http://www.w3.org/1999/xhtml}"


@dataclass(frozen=True)
class Word:
    """A word on a page with its box in points, measured from the top left corner."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class PrintedLink:
    """A link inside the file: the page it stands on, the page it leads to (both from 1), and the words under it."""

    page: int
    target: int
    words: str


@cache
def page_texts(pdf: Path) -> list[str]:
    """The text of each page, spaces and line ends run together."""
    return [" ".join(text.split()) for text in _pdftotext(pdf, "-raw").split("\f")[:-1]]


@cache
def page_words(pdf: Path) -> list[list[Word]]:
    """The words of each page with their boxes."""
    root = ElementTree.fromstring(re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "", _pdftotext(pdf, "-bbox")))
    return [[_word(element) for element in page.iter(f"{_XHTML}word")] for page in root.iter(f"{_XHTML}page")]


def links(pdf: Path) -> Iterator[PrintedLink]:
    """Every link to a place in the same file."""
    reader = PdfReader(pdf)
    numbers = {page.indirect_reference.idnum: number for number, page in enumerate(reader.pages, start=1)}  # type: ignore[union-attr]
    names = {name: place.dest_array[0].idnum for name, place in reader.named_destinations.items()}
    for number, page in enumerate(reader.pages, start=1):
        height = float(page.mediabox.height)
        for annotation in page.get("/Annots", []):
            place = _place(annotation.get_object(), names)
            if place is not None:
                box = [float(edge) for edge in annotation.get_object()["/Rect"]]
                yield PrintedLink(number, numbers[place], _words_in(page_words(pdf)[number - 1], box, height))


def _place(link: Any, names: dict[str, int]) -> int | None:
    """The object number of the page that a link leads to; None for a link to the web."""
    action = link.get("/A", {}).get_object() if "/A" in link else {}
    if action.get("/S") == "/URI":
        return None
    place = link.get("/Dest", action.get("/D"))
    return names[str(place)] if isinstance(place, str | bytes) else int(place[0].idnum)


def _words_in(words: list[Word], box: list[float], height: float) -> str:
    left, bottom, right, top = box
    inside = [
        word
        for word in words
        if left - 1 <= (word.left + word.right) / 2 <= right + 1
        and height - top - 1 <= (word.top + word.bottom) / 2 <= height - bottom + 1
    ]
    return " ".join(word.text for word in inside)


def _word(element: ElementTree.Element) -> Word:
    left, top, right, bottom = (float(element.attrib[name]) for name in ("xMin", "yMin", "xMax", "yMax"))
    return Word(element.text or "", left, top, right, bottom)


def _pdftotext(pdf: Path, how: str) -> str:
    """Standard error is left out: poppler 22 complains about a flag that other readers accept."""
    command = ["pdftotext", how, str(pdf), "-"]
    return subprocess.run(command, capture_output=True, check=True).stdout.decode("utf-8")
