"""Where everything lives: the file of each page and the address of each anchor."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from authorkit.manual.blocks import Block, Link, Manual, Page, StepBlock, all_blocks
from authorkit.output.html.walk import anchors_of, flat, inlines_of
from authorkit.problems import Place, Problem

INDEX_FILE = "index.html"
# Both are one page on the screen: the title with the contents below it.
_ON_INDEX_FILE = ("title", "contents")
# The start page's name, and device names that Windows refuses as file names, whatever their extension.
_TAKEN = re.compile(r"(?:index|con|prn|aux|nul|com\d|lpt\d)\Z", re.IGNORECASE)


@dataclass(frozen=True)
class Addresses:
    """`files` names each page's file by the page's anchor; `anchors` maps an anchor to its file and the id there.

    The id is '' where the anchor means the whole page.
    """

    files: Mapping[str, str]
    anchors: Mapping[str, tuple[str, str]]

    def href(self, target: str, from_file: str) -> str | None:
        """The address of an anchor as written in `from_file`; None if there is no such anchor."""
        if target not in self.anchors:
            return None
        file, fragment = self.anchors[target]
        if file == from_file:
            return f"#{fragment or 'ui-main'}"
        return f"{file}#{fragment}" if fragment else file


def find_addresses(manual: Manual) -> Addresses:
    """The address of every page and of every anchor in it; of an anchor that stands twice, the first."""
    files: dict[str, str] = {}
    anchors: dict[str, tuple[str, str]] = {}
    for page in manual.pages:
        file = INDEX_FILE if page.kind in _ON_INDEX_FILE else _file_name(page.anchor, files.values())
        files.setdefault(page.anchor, file)
        anchors.setdefault(page.anchor, (file, ""))
        for anchor in _block_anchors(page):
            anchors.setdefault(anchor, (file, fragment(anchor)))
    return Addresses(files, anchors)


def fragment(anchor: str) -> str:
    """An anchor as an HTML id that needs no quoting in an address."""
    return re.sub(r"[^A-Za-z0-9_.-]", "-", anchor)


def _block_anchors(page: Page) -> Iterator[str]:
    for block in all_blocks(page.blocks):
        yield from anchors_of(block)


def _file_name(anchor: str, taken: Iterable[str]) -> str:
    """A name that every file system takes and that no other page has, whatever the case of its letters."""
    stem = fragment(anchor).strip(".") or "page"
    stem = f"page-{stem}" if _TAKEN.match(stem) else stem
    used = {name.lower() for name in taken}
    name, count = f"{stem}.html", 2
    while name.lower() in used:
        name, count = f"{stem}-{count}.html", count + 1
    return name


def address_problems(manual: Manual, addresses: Addresses) -> Iterator[Problem]:
    """Anchors that stand twice, and links that lead nowhere."""
    seen: set[str] = set()
    for page in manual.pages:
        for anchor in (page.anchor, *_block_anchors(page)):
            if anchor in seen:
                yield _anchor_twice(page, anchor)
            seen.add(anchor)
        for block in all_blocks(page.blocks):
            for target in _targets(block):
                if target not in addresses.anchors:
                    yield _link_dangling(page, target)


def _targets(block: Block) -> Iterator[str]:
    for inlines in inlines_of(block):
        yield from (inline.target for inline in flat(inlines) if isinstance(inline, Link))
    if isinstance(block, StepBlock):
        yield from (answer.target for answer in block.answers if answer.target)


def _anchor_twice(page: Page, anchor: str) -> Problem:
    return Problem(
        "anchor-twice",
        f"The anchor '{anchor}' on page '{page.title}' stands twice in the manual.",
        Place(page.source),
        found=anchor,
        expected="an anchor that no other page, heading, table, figure or step has",
        suggestion="Rename one of the two.",
    )


def _link_dangling(page: Page, target: str) -> Problem:
    return Problem(
        "link-dangling",
        f"A link on page '{page.title}' leads to '{target}', which is nowhere in the manual.",
        Place(page.source),
        found=target,
        expected="the anchor of a page, heading, table, figure or step",
        suggestion="Correct the reference or add what it points at.",
    )
