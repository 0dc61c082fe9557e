"""The manual as a folder of HTML pages that opens from disk: no server, no network."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Manual
from authorkit.output.html.addresses import INDEX_FILE, Addresses, address_problems, find_addresses
from authorkit.output.html.figure import figure_problems, photograph_files
from authorkit.output.html.folder import may_replace, write_folder
from authorkit.output.html.frame import make_site, start_page, text_page
from authorkit.output.html.search import search_script
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


def html_pages(manual: Manual) -> tuple[Mapping[str, bytes], tuple[Problem, ...]]:
    """Every file of the manual by its path in the folder, and what had to be left out of the pages."""
    addresses = find_addresses(manual)
    return html_files(manual, addresses), (*address_problems(manual, addresses), *figure_problems(manual))


def html_files(manual: Manual, addresses: Addresses) -> Mapping[str, bytes]:
    """Every file of the manual by its path in the folder; the same manual gives the same bytes."""
    site = make_site(manual, addresses)
    pages = {INDEX_FILE: start_page(site)}
    for page in manual.pages:
        file = addresses.files[page.anchor]
        if file not in pages:
            pages[file] = text_page(page, site)
    texts = {**pages, "assets/style.css": style_sheet(), "assets/search-index.js": search_script(manual, addresses)}
    return {
        **{name: text.encode("utf-8") for name, text in texts.items()},
        **{f"assets/{name}": theme_file(f"html/{name}") for name in _THEME_FILES},
        **{f"assets/fonts/{name}": (font_folder() / name).read_bytes() for name in (*font_files(), "LICENCE.txt")},
        **photograph_files(manual),
    }


def _foreign_folder(target: Path) -> Problem:
    return Problem(
        "page-refused",
        f"The folder '{target.name}' holds something that is not an earlier manual; nothing was written.",
        Place(target.name),
        found="files that were not written here",
        expected="an empty folder, an earlier manual, or no folder",
        suggestion="Name another folder, or move those files away.",
    )
