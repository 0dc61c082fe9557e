"""The manual as a folder of HTML pages that opens from disk: no server, no network."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Manual, Page
from authorkit.output.html.addresses import INDEX_FILE, Addresses, address_problems, find_addresses
from authorkit.output.html.figure import figure_problems, photograph_files
from authorkit.output.html.folder import may_replace, write_folder
from authorkit.output.html.frame import Site, make_site, start_page, text_page
from authorkit.output.html.search import WordMemory, search_script
from authorkit.output.html.style import font_files, style_sheet
from authorkit.output.tokens import theme_file
from authorkit.problems import Place, Problem

_THEME_FILES = ("icon.svg", "page.js", "search.js")


def write_html(manual: Manual, target: Path) -> tuple[Problem, ...]:
    """Write the manual into the folder `target`, which is replaced as a whole or not touched at all.

    The pages are written even if something had to be left out of them; the findings say what. A folder that holds
    anything but an earlier manual is never replaced. Raises OSError if the disk refuses.
    """
    if not may_replace(target):
        return (_foreign_folder(target),)
    files, problems = html_pages(manual)
    write_folder(target, files)
    return problems


@dataclass
class HtmlMemory:
    """The files that a process that stays has made, each with its page and with what was around all pages then."""

    files: dict[str, tuple[Page, str, str]] = field(default_factory=dict)
    words: WordMemory = field(default_factory=WordMemory)


def html_pages(manual: Manual, memory: HtmlMemory | None = None) -> tuple[Mapping[str, bytes], tuple[Problem, ...]]:
    """Every file of the manual by its path in the folder, and what had to be left out of the pages.

    With a `memory` only those pages are made anew that are not the very same objects as last time.
    """
    addresses = find_addresses(manual)
    files = html_files(manual, addresses, memory)
    return files, (*address_problems(manual, addresses), *figure_problems(manual))


def html_files(manual: Manual, addresses: Addresses, memory: HtmlMemory | None = None) -> Mapping[str, bytes]:
    """Every file of the manual by its path in the folder; the same manual gives the same bytes."""
    memory = memory or HtmlMemory()
    site = make_site(manual, addresses)
    pages = {INDEX_FILE: start_page(site)}
    around = _around(site)
    for page in manual.pages:
        file = addresses.files[page.anchor]
        if file not in pages:
            pages[file] = _remembered(page, site, around, memory)
    memory.files = {file: entry for file, entry in memory.files.items() if file in pages}
    search = search_script(manual, addresses, memory.words)
    texts = {**pages, "assets/style.css": style_sheet(), "assets/search-index.js": search}
    return {
        **{name: text.encode("utf-8") for name, text in texts.items()},
        **{f"assets/{name}": theme_file(f"html/{name}") for name in _THEME_FILES},
        **{f"assets/fonts/{name}": (font_folder() / name).read_bytes() for name in (*font_files(), "LICENCE.txt")},
        **photograph_files(manual),
    }


def _around(site: Site) -> str:
    """A digest of what any page may say of the others: their order, titles and groups, the address of every anchor."""
    manual = site.manual
    head = (manual.title, manual.publisher, manual.date, manual.language, manual.systems)
    groups = [(group.name, [page.anchor for page in group.pages]) for group in site.groups]
    told = repr((head, site.order, groups, list(site.addresses.anchors.items())))
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()


def _remembered(page: Page, site: Site, around: str, memory: HtmlMemory) -> str:
    """A page as it was made before, if it is the same one among the same others; an index looks at all pages."""
    file = site.addresses.files[page.anchor]
    known = memory.files.get(file)
    if known is not None and known[0] is page and known[1] == around and page.kind != "index":
        return known[2]
    made = text_page(page, site)
    memory.files[file] = (page, around, made)
    return made


def _foreign_folder(target: Path) -> Problem:
    return Problem(
        "page-refused",
        f"The folder '{target.name}' holds something that is not an earlier manual; nothing was written.",
        Place(target.name),
        found="files that were not written here",
        expected="an empty folder, an earlier manual, or no folder",
        suggestion="Name another folder, or move those files away.",
    )
