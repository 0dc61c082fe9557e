"""A whole HTML page: the text of a page in the template, with the ways to all other pages around it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache

from jinja2 import DictLoader, Environment, StrictUndefined, Template
from markupsafe import Markup

from authorkit.manual.blocks import INDEXES, Heading, Manual, Page
from authorkit.output.html.addresses import INDEX_FILE, Addresses, fragment
from authorkit.output.html.blocks import blocks_html
from authorkit.output.html.folder import GENERATOR
from authorkit.output.html.inline import View, inline_html
from authorkit.output.html.lists import (
    Group,
    contents_html,
    index_entries,
    index_html,
    page_groups,
    split_title,
    title_html,
)
from authorkit.output.html.markup import escape, tag
from authorkit.output.html.walk import without_skips
from authorkit.output.html.words import FRAME_WORDS
from authorkit.output.index_pages import indexes_on
from authorkit.output.tokens import design_tokens, theme_file

# Lines of one system that the navigation shows; its name leads to all of them.
_MOST_IN_GROUP = 40
# The ids of the template itself; an anchor of the same name would make a file with one id twice.
_OWN_IDS = {"ui-main", "ui-nav", "ui-menu", "ui-search", "ui-query", "ui-results", "ui-theme"}


@dataclass(frozen=True)
class NavLink:
    """One line of the navigation."""

    href: str
    mark: str
    title: str
    current: bool = False


@dataclass(frozen=True)
class NavGroup:
    """Lines of the navigation under a heading ('' = none); `href` leads to the group in the contents."""

    name: str
    href: str
    links: tuple[NavLink, ...]


@dataclass(frozen=True)
class Site:
    """What all pages share: made once for a manual. `order` holds every page with a file of its own."""

    manual: Manual
    addresses: Addresses
    groups: tuple[Group, ...]
    order: tuple[NavLink, ...]
    position: Mapping[str, int]

    def link(self, page: Page, *, current: bool = False) -> NavLink:
        """A page as a line of the navigation."""
        return NavLink(self.addresses.files[page.anchor], *split_title(page), current=current)


@dataclass(frozen=True)
class Alone:
    """What a page that is a file of its own carries inside: its policy, style sheet, script, and icon as an address."""

    policy: str
    style: str
    script: str
    icon: str


def make_site(manual: Manual, addresses: Addresses) -> Site:
    """Put the pages in order and in groups."""
    site = Site(manual, addresses, page_groups(manual), (), {})
    order = tuple(site.link(page) for page in manual.pages if addresses.files[page.anchor] != INDEX_FILE)
    return replace(site, order=order, position={link.href: number for number, link in enumerate(order)})


def start_page(site: Site) -> str:
    """The title page with the contents below it."""
    manual, view = site.manual, View(site.addresses, INDEX_FILE, used=set(_OWN_IDS))
    before = [page for page in manual.pages if page.kind == "title"]
    contents = [page for page in manual.pages if page.kind == "contents"]
    name = contents[0].title if contents else FRAME_WORDS["contents"]
    body = [
        _title_block(manual, view),
        *(blocks_html(without_skips(page.blocks), view) for page in before),
        tag("h2", escape(name)),
        *(blocks_html(without_skips(page.blocks), view) for page in contents),
        contents_html(site.groups, view),
    ]
    return _rendered(
        site,
        NavLink(INDEX_FILE, "", manual.title),
        kind="start",
        body="\n".join(body),
        groups=_groups(site, None),
        previous=None,
        next=next(iter(site.order), None),
    )


def _title_block(manual: Manual, view: View) -> str:
    """Title, subtitle, what the manual is for, and what every reader must know first."""
    pieces = [
        tag("h1", escape(manual.title)),
        tag("p", escape(manual.subtitle), class_="subtitle") if manual.subtitle else "",
        tag("p", inline_html(manual.identity, view), class_="identity") if manual.identity else "",
        *(tag("p", escape(warning), class_="before-all") for warning in manual.warnings),
    ]
    return tag("div", *pieces, class_="title-block")


def text_page(page: Page, site: Site) -> str:
    """A page of text: a chapter, a front page, a list."""
    file = site.addresses.files[page.anchor]
    at = site.position[file]
    return _rendered(
        site,
        site.order[at],
        kind=page.kind,
        body=_body(page, site),
        groups=(*_on_this_page(page), *_groups(site, page)),
        previous=site.order[at - 1] if at else NavLink(INDEX_FILE, "", FRAME_WORDS["contents"]),
        next=site.order[at + 1] if at + 1 < len(site.order) else None,
    )


def lone_page(page: Page, site: Site, dress: Callable[[str], Alone]) -> str:
    """The same page as a file of its own, without ways to others; `dress` is told its body."""
    body = _body(page, site)
    return _rendered(
        site,
        site.link(page),
        kind=page.kind,
        body=body,
        groups=_on_this_page(page),
        previous=None,
        next=None,
        alone=dress(body),
    )


def _body(page: Page, site: Site) -> str:
    view = View(site.addresses, site.addresses.files[page.anchor], used=set(_OWN_IDS))
    body = [tag("h1", title_html(page)), blocks_html(without_skips(page.blocks), view)]
    if page.kind == "index":
        body.append(_indexes(page, site.manual, view))
    return "\n".join(body)


def _indexes(page: Page, manual: Manual, view: View) -> str:
    """The indexes that the page is for; several stand each under its heading."""
    pieces = []
    keys = indexes_on(page)
    for key in keys:
        if entries := index_entries(manual, key):
            if len(keys) > 1:
                pieces.append(tag("h2", escape(INDEXES[key]), id=view.claim(f"ui-index-{key}")))
            pieces.append(index_html(key, entries, view))
    return "\n".join(pieces)


def _on_this_page(page: Page) -> tuple[NavGroup, ...]:
    links = tuple(
        NavLink(f"#{fragment(block.anchor)}", "", block.text)
        for block in page.blocks
        if isinstance(block, Heading) and block.level == 2 and block.anchor
    )
    return (NavGroup(FRAME_WORDS["on_this_page"], "", links),) if len(links) > 1 else ()


def _groups(site: Site, here: Page | None) -> tuple[NavGroup, ...]:
    """The groups of the contents; only the one that the page is in is spelt out, and those without a name.

    A manual of some hundred chapters would otherwise repeat its contents in every file.
    """
    groups = []
    for number, group in enumerate(site.groups, start=1):
        links = [site.link(page, current=page is here) for page in _nearby(group, here)]
        href = f"{INDEX_FILE}#ui-group-{number}" if group.name else ""
        groups.append(NavGroup(group.name, href, tuple(links)))
    return tuple(groups)


def _nearby(group: Group, here: Page | None) -> tuple[Page, ...]:
    """The pages of a group that a page shows: of a long group those around the page itself."""
    at = next((number for number, page in enumerate(group.pages) if page is here), None)
    if at is None:
        return () if group.name else group.pages
    if len(group.pages) <= _MOST_IN_GROUP:
        return group.pages
    first = min(max(at - _MOST_IN_GROUP // 2, 0), len(group.pages) - _MOST_IN_GROUP)
    return group.pages[first : first + _MOST_IN_GROUP]


def _rendered(site: Site, here: NavLink, **parts: object) -> str:
    """The template of a page filled in."""
    manual = site.manual
    edition = design_tokens()["words"]["edition"]
    foot = (manual.publisher, f"{edition} {manual.date}" if manual.date else "")
    own_title = f"{here.mark} {here.title}".strip()
    return filled_in(
        "page.html",
        manual,
        foot=[line for line in foot if line],
        here=here,
        page_title=own_title if own_title == manual.title else f"{own_title} – {manual.title}",
        words=FRAME_WORDS,
        **{"alone": None, **parts},
    )


def filled_in(template: str, manual: Manual, **parts: object) -> str:
    """A template of the theme with its parts, and with what every file says of the manual."""
    return _template(template).render(
        generator=Markup(GENERATOR), language=manual.language, manual_title=manual.title, **parts
    )


@cache
def _template(name: str) -> Template:
    loader = DictLoader({name: theme_file(f"html/{name}").decode("utf-8")})
    environment = Environment(
        loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    return environment.get_template(name)
