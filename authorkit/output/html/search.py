"""The index that the search box looks into: every word of the manual and the sections it stands in.

It is a script that sets one value, because a page opened from disk may load scripts but may not read files.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree

from authorkit.manual.blocks import Block, Figure, Heading, IndexMark, Manual, Page, all_blocks
from authorkit.output.html.addresses import Addresses, fragment
from authorkit.output.html.lists import split_title
from authorkit.output.html.walk import texts_of

# What parts words; the same expression stands in search.js. Dots, dashes and slashes belong to names ('M1-A.23').
_BETWEEN_WORDS = re.compile(r"""[\s,;:()\[\]{}<>|="'“”„‘’«»…→·]+""")
_INSIDE_WORDS = re.compile(r"[-./–]")
_AROUND_WORDS = ".!?-–/"
_LONGEST_WORD = 40


@dataclass(frozen=True)
class Section:
    """A stretch of a page under one heading: what the search finds and leads to."""

    page: Page
    page_number: int
    fragment: str
    heading: str
    blocks: tuple[Block, ...]


@dataclass
class WordMemory:
    """The words of the sections of each page, by its anchor, from one index to the next."""

    pages: dict[str, tuple[Page, list[list[str]]]] = field(default_factory=dict)

    def of(self, page: Page) -> list[list[str]]:
        """The sorted words of each section; gathered once for each page object."""
        known = self.pages.get(page.anchor)
        if known is None or known[0] is not page:
            known = (page, [sorted(_section_words(section)) for section in _sections(page, 0)])
            self.pages[page.anchor] = known
        return known[1]


def search_script(manual: Manual, addresses: Addresses, memory: WordMemory | None = None) -> str:
    """The index as a script: pages, sections, and sorted words with the numbers of their sections."""
    memory = memory or WordMemory()
    pages = [page for page in manual.pages if page.kind not in ("title", "contents", "index")]
    sections = [section for number, page in enumerate(pages) for section in _sections(page, number)]
    found: dict[str, list[int]] = {}
    for number, words_here in enumerate(words_here for page in pages for words_here in memory.of(page)):
        for word in words_here:
            found.setdefault(word, []).append(number)
    words = sorted(found, key=lambda word: word.encode("utf-16-be"))  # the order in which a browser compares text
    index = {
        "pages": [[addresses.files[page.anchor], *split_title(page)] for page in pages],
        "sections": [[part.page_number, part.fragment, part.heading] for part in sections],
        "words": words,
        "found": [found[word] for word in words],
    }
    text = json.dumps(index, ensure_ascii=True, separators=(",", ":"))
    return f"window.manualIndex = {text};\n"


def _sections(page: Page, number: int) -> Iterator[Section]:
    """The page cut at its headings of level 2 that have an anchor."""
    heading, anchor = "", ""
    blocks: list[Block] = []
    for block in page.blocks:
        if isinstance(block, Heading) and block.level == 2 and block.anchor:
            yield Section(page, number, anchor, heading, tuple(blocks))
            heading, anchor, blocks = block.text, fragment(block.anchor), []
        blocks.append(block)
    yield Section(page, number, anchor, heading, tuple(blocks))


def _section_words(section: Section) -> set[str]:
    """Every word of a section; the top of a page holds the page's title too."""
    texts = [] if section.fragment else [section.page.mark, section.page.title]
    for block in all_blocks(section.blocks):
        texts += texts_of(block)
        if isinstance(block, IndexMark):
            texts += [block.term, block.sub, f"{block.term}.{block.sub}"]
        elif isinstance(block, Figure) and block.media == "svg":
            texts += _drawn_texts(block.data)
    return {word for text in texts for word in words_of(text)}


def words_of(text: str) -> Iterator[str]:
    """The words of a text in small letters; a compound also by its parts of three letters or more.

    >>> list(words_of("Cavity M1-A.23 (high-voltage)"))
    ['cavity', 'm1-a.23', 'high-voltage', 'high', 'voltage']
    """
    for rough in _BETWEEN_WORDS.split(text.lower()):
        word = rough.strip(_AROUND_WORDS)[:_LONGEST_WORD]
        if word:
            yield word
            parts = _INSIDE_WORDS.split(word)
            if len(parts) > 1:
                yield from (part for part in parts if len(part) > 2)


def _drawn_texts(data: bytes) -> Iterator[str]:
    """The texts in a drawing; none if it cannot be read, which is reported elsewhere."""
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError:
        return
    for element in root.iter("{http://www.w3.org/2000/svg}text"):
        yield "".join(element.itertext())
