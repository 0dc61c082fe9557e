"""HTML and PDF say the same: the words of both outputs are read back and compared, chapter by chapter.

The PDF is read by pypdf, the HTML by the standard library's parser: neither took part in the writing.
"""

from __future__ import annotations

import html.parser
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from authorkit.facts.read_book import read_book
from authorkit.manual.blocks import Heading, StepBlock, Table
from authorkit.manual.compose import compose
from authorkit.output.html import write_html
from authorkit.output.pdf import page_map, write_pdf

# Elements that may stand inside a word.
_WITHIN_WORDS = ("span", "wbr", "em", "strong", "code", "a")


class _Words(html.parser.HTMLParser):
    """The text of a page without what stands around it, and, if asked, without the labels inside drawings."""

    def __init__(self, *, drawings: bool) -> None:
        super().__init__()
        self.quiet = ("script", "style", "title", "desc", "select", *(() if drawings else ("svg",)))
        self.inside = 0
        self.silent = 0
        self.text: list[str] = []

    def handle_starttag(self, tag, attrs):
        self.inside += tag == "main"
        self.silent += tag in self.quiet
        self.text.append("" if tag in _WITHIN_WORDS else " ")

    def handle_endtag(self, tag):
        self.inside -= tag == "main"
        self.silent -= tag in self.quiet
        self.text.append("" if tag in _WITHIN_WORDS else " ")

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


_VALUES = re.compile(
    r"[A-Z]{1,3}\d*-[A-Z]+\.\w+"  # a cavity
    r"|[−-]?\d+(?:\.\d+)? ?(?:[kMmµ]?Ω|m?V|m?A|[kM]?Hz|°C|%|ms|s|mm²|N·m|min)\b"  # a number with its unit
    r"|[KZAEVHQD]\d{3}\b"  # a circuit name
    r"|[PCBU][0-3][0-9A-F]{3}\b"  # a code
)


def _values(text: str) -> set[str]:
    """What must never differ between the outputs."""
    return set(_VALUES.findall(_without_pages(re.sub(r"[\s\u00a0\u202f]+", " ", text))))


def _html_words(folder: Path, code: str, *, drawings: bool = True) -> str:
    parser = _Words(drawings=drawings)
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
        in_pdf = _values(_pdf_words(folder, *ranges[page.anchor]))
        # Labels inside drawings are read back from a PDF without the spaces between them ('40 MΩU'), so a value that
        # stands in a drawing alone is looked for in one direction only.
        told = _values(_html_words(folder, page.anchor, drawings=False))
        assert told <= in_pdf, (page.anchor, told - in_pdf)
        shown = _values(_html_words(folder, page.anchor))
        assert in_pdf <= shown, (page.anchor, in_pdf - shown)
        assert len(told) > 30, page.anchor  # the comparison is not about nothing


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
    """Only the letters and digits: line breaks and spaces differ between the outputs."""
    return re.sub(r"[\W_]+", "", _without_pages(text))


def _without_pages(text: str) -> str:
    return re.sub(r",[\s\u00a0]*page[\s\u00a0]*\d+", "", text)
