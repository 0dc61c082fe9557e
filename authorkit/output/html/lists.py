"""The lists that only a writer can make, because they are made of links: contents and indexes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from authorkit.manual.blocks import IndexMark, Manual, Page, all_blocks
from authorkit.output.html.inline import View, link_html
from authorkit.output.html.markup import escape, tag
from authorkit.output.index_pages import in_order, natural_order


@dataclass(frozen=True)
class Group:
    """Pages that stand together in the contents, under the name of their system or under no name."""

    name: str
    pages: tuple[Page, ...]


def page_groups(manual: Manual) -> tuple[Group, ...]:
    """What stands before the chapters, the chapters system by system, and what comes after them."""
    pages = [page for page in manual.pages if page.kind not in ("title", "contents")]
    first = next((at for at, page in enumerate(pages) if page.kind == "chapter"), len(pages))
    before, rest = pages[:first], pages[first:]
    chapters = [page for page in rest if page.kind == "chapter"]
    names = list(dict.fromkeys([*manual.systems, *(page.system for page in chapters)]))
    systems = [Group(name, tuple(page for page in chapters if page.system == name)) for name in names]
    after = tuple(page for page in rest if page.kind != "chapter")
    groups = (Group("", tuple(before)), *systems, Group("", after))
    return tuple(group for group in groups if group.pages)


def title_html(page: Page) -> str:
    """A page's title as markup, its code in front."""
    mark, title = split_title(page)
    words = [tag("span", escape(mark), class_="mark"), " "] if mark else []
    return "".join([*words, tag("span", escape(title), class_="title")])


def split_title(page: Page) -> tuple[str, str]:
    """The mark of a chapter and its title without it; '' for pages whose mark only repeats the title."""
    if page.kind != "chapter" or not page.mark:
        return "", page.title
    return page.mark, page.title.removeprefix(page.mark).lstrip(" :–-") or page.title


def contents_html(groups: Iterable[Group], view: View) -> str:
    """All pages in groups."""
    pieces = []
    for number, group in enumerate(groups, start=1):
        if group.name:
            pieces.append(tag("h3", escape(group.name), id=view.claim(f"ui-group-{number}")))
        links = [tag("li", link_html(page.anchor, title_html(page), view)) for page in group.pages]
        pieces.append(tag("ul", *links, class_="pages"))
    return "\n".join(pieces)


# Term → sub-term → pages, each in the order of the manual.
Entries = Mapping[str, Mapping[str, Sequence[Page]]]


def index_entries(manual: Manual, key: str) -> Entries:
    """What the pages of the manual put into one index."""
    entries: dict[str, dict[str, list[Page]]] = {}
    for page in manual.pages:
        for block in all_blocks(page.blocks):
            if isinstance(block, IndexMark) and block.index == key:
                pages = entries.setdefault(block.term, {}).setdefault(block.sub, [])
                if not pages or pages[-1] is not page:
                    pages.append(page)
    return entries


def index_html(key: str, entries: Entries, view: View) -> str:
    """One index as a list; sub-terms stand below their term."""
    items = [_term(term, entries[term], view) for term in in_order(key, entries)]
    return tag("ul", *items, class_="index") if items else ""


def _term(term: str, subs: Mapping[str, Sequence[Page]], view: View) -> str:
    below = [tag("li", _entry(sub, subs[sub], term, view)) for sub in sorted(subs, key=natural_order) if sub]
    return tag("li", _entry(term, subs.get("", ()), "", view), tag("ul", *below) if below else "")


def _entry(words: str, pages: Sequence[Page], term: str, view: View) -> str:
    """Words and the pages they stand on; a page that is called as the term above is linked by the words themselves."""
    if len(pages) == 1 and pages[0].mark == term:
        return link_html(pages[0].anchor, escape(words), view)
    links = ", ".join(link_html(page.anchor, escape(page.mark or page.title), view) for page in pages)
    return f"{tag('span', escape(words), class_='term')} {links}".rstrip()
