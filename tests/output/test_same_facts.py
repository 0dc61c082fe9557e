"""HTML and PDF say the same: the words of both outputs are read back and compared, chapter by chapter.

The PDF is read by pypdf, the HTML by the standard library's parser: neither took part in the writing.
"""

from __future__ import annotations

import html.parser
import re
from collections import Counter
from pathlib import Path

import pytest
from pypdf import PdfReader

from authorkit.facts.read_book import read_book
from authorkit.manual.blocks import Heading, StepBlock, Table
from authorkit.manual.compose import compose
from authorkit.output.html import write_html
from authorkit.output.pdf import page_map, write_pdf


class _Words(html.parser.HTMLParser):
    """The text of the article of a page, without the drawings' labels and what stands around it."""

    def __init__(self) -> None:
        super().__init__()
        self.inside = 0
        self.silent = 0
        self.text: list[str] = []

    def handle_starttag(self, tag, attrs):
        self.inside += tag == "main"
        self.silent += tag in ("script", "style", "title", "desc")
        self.text.append(" ")

    def handle_endtag(self, tag):
        self.inside -= tag == "main"
        self.silent -= tag in ("script", "style", "title", "desc")
        self.text.append(" ")

    def handle_data(self, data):
        if self.inside and not self.silent:
            self.text.append(data)


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("built")
    book, _ = read_book(Path(__file__).parents[2])
    manual, problems = compose(book)
    assert not problems
    assert not write_html(manual, folder / "html")
    assert not write_pdf(manual, folder / "manual.pdf", page_size="a4")
    return manual, folder


def _values(text: str) -> Counter[str]:
    """Every number with its unit, cavity, circuit name and code in a text: what must never differ."""
    flat = re.sub(r"[\s\u00a0\u202f]+", " ", text)
    return Counter(
        re.findall(r"[A-Z]{1,3}\d*-[A-Z]+\.\w+|[−-]?\d+(?:\.\d+)? ?(?:[kMmµ]?Ω|m?V|m?A|[kM]?Hz|°C|%|ms|s|mm²|N·m|min)\b|[KZAEVHQD]\d{3}\b|[PCBU][0-3][0-9A-F]{3}\b", flat)
    )


def _html_words(folder: Path, code: str) -> str:
    parser = _Words()
    parser.feed((folder / "html" / f"{code}.html").read_text(encoding="utf-8"))
    return "".join(parser.text)


def _pdf_words(folder: Path, first: int, last: int) -> str:
    reader = PdfReader(folder / "manual.pdf")
    return "\n".join(reader.pages[number - 1].extract_text() for number in range(first, last))


def _ranges(manual, folder):
    pages = page_map(folder / "manual.pdf")
    starts = sorted((pages[page.anchor], page.anchor) for page in manual.pages if page.anchor in pages)
    ends = [start for start, _ in starts[1:]] + [10**6]
    return {anchor: (start, end) for (start, anchor), end in zip(starts, ends, strict=True)}


def test_both_outputs_hold_the_same_values_cavities_circuits_and_codes(built):
    manual, folder = built
    ranges = _ranges(manual, folder)
    chapters = [page for page in manual.pages if page.kind == "chapter"]
    assert len(chapters) >= 12
    for page in chapters:
        in_html = set(_values(_html_words(folder, page.anchor)))
        in_pdf = set(_values(_pdf_words(folder, *ranges[page.anchor])))
        assert in_html == in_pdf, (page.anchor, in_html ^ in_pdf)
        assert len(in_html) > 30, page.anchor  # the comparison is not about nothing


def test_both_outputs_hold_every_sentence_of_the_steps(built):
    manual, folder = built
    ranges = _ranges(manual, folder)
    for page in manual.pages:
        if page.kind != "chapter":
            continue
        texts = [_squeezed(_html_words(folder, page.anchor)), _squeezed(_pdf_words(folder, *ranges[page.anchor]))]
        for block in page.blocks:
            for needed in _sentences(block):
                for text in texts:
                    assert needed in text, (page.anchor, needed)


def _sentences(block) -> list[str]:
    if isinstance(block, Heading):
        return [_squeezed(block.text)]
    if isinstance(block, StepBlock):
        parts = (block.do, block.measure, block.question, block.verdict, block.repair)
        return [_squeezed(_plain(part)) for part in parts if part]
    if isinstance(block, Table):
        return [_squeezed(block.caption), *(_squeezed(column) for column in block.columns)]
    return []


def _plain(inlines) -> str:
    """Words without the ', page 42' that print adds to some links."""
    return "".join(getattr(inline, "text", "") or _plain(getattr(inline, "children", ())) for inline in inlines)


def _squeezed(text: str) -> str:
    """Only the letters and digits: line breaks and spaces differ between the outputs. ', page 42' is print's own."""
    return re.sub(r"[\W_]+", "", re.sub(r",[\s\u00a0]*page[\s\u00a0]*\d+", "", text))
