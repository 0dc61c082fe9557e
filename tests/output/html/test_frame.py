from __future__ import annotations

from authorkit.manual.blocks import Heading, Manual, Page, Text
from authorkit.output.html.addresses import find_addresses
from authorkit.output.html.frame import Site, make_site, start_page, text_page
from tests.output.html.reading import Element, read_html
from tests.output.html.samples import chapter

FRONT = Page("front", "How to read", "front")
LOW, HIGH = (
    chapter("P0117", system="Engine"),
    chapter("P0118", Heading(2, "A", "a"), Heading(2, "B", "b"), system="Engine"),
)
ISOLATION, INDEX = chapter("P0AA6", system="High voltage"), Page("index", "Indexes", "index")


def site_of(*pages: Page) -> Site:
    manual = Manual(
        "My manual", "Sub", "en-GB", "2026-11-02", "Workshop", (Text("For all"),), pages, warnings=("Invented.",)
    )
    return make_site(manual, find_addresses(manual))


SITE = site_of(FRONT, LOW, HIGH, ISOLATION, INDEX)


def page_of(page: Page, site: Site = SITE) -> Element:
    return read_html(text_page(page, site))


def test_the_title_of_the_window_says_page_then_manual_in_its_language() -> None:
    page = page_of(HIGH)
    assert page.one("title").text == "P0118 Title of P0118 – My manual"
    assert page.one("html").attributes["lang"] == "en-GB"


def test_the_start_page_says_what_the_manual_is_and_what_comes_before_all() -> None:
    page = read_html(start_page(SITE))
    assert page.one("title").text == "My manual"
    assert page.one("h1").text == "My manual"
    block = page.one("div", class_="title-block").text
    assert "SubFor allInvented." in block.replace("\n", "")


def test_a_page_leads_to_the_one_before_and_the_one_after() -> None:
    def around(page: Page) -> list[str | None]:
        return [link.attributes["href"] for link in page_of(page).one("nav", class_="pager").all("a")]

    assert around(FRONT) == ["index.html", "P0117.html"]
    assert around(HIGH) == ["P0117.html", "P0AA6.html"]
    assert around(INDEX) == ["P0AA6.html"]


def test_the_navigation_spells_out_the_system_of_the_page_and_names_the_others() -> None:
    nav = page_of(HIGH).one("nav", id="ui-nav")
    links = {link.attributes["href"]: link for link in nav.all("a")}
    assert {"index.html", "front.html", "P0117.html", "P0118.html", "page-index.html"} <= links.keys()
    assert "P0AA6.html" not in links
    assert [link.text for link in links.values() if "#ui-group" in str(link.attributes["href"])] == [
        "Engine",
        "High voltage",
    ]
    assert [link.text for link in nav.all(aria_current="page")] == ["P0118 Title of P0118"]


def test_the_groups_that_the_navigation_names_stand_in_the_contents() -> None:
    start = read_html(start_page(SITE))
    for link in page_of(HIGH).one("nav", id="ui-nav").all("a"):
        fragment = str(link.attributes["href"]).partition("index.html#")[2]
        if fragment:
            assert start.one("h3", id=fragment).text == link.text


def test_the_sections_of_a_long_page_are_listed_beside_it() -> None:
    nav = page_of(HIGH).one("nav", id="ui-nav")
    assert [link.text for link in nav.all("a") if str(link.attributes["href"]).startswith("#")] == ["A", "B"]


def test_a_system_of_many_chapters_shows_those_around_the_page() -> None:
    """Otherwise the pages of a manual would grow with the square of its chapters."""
    chapters = [chapter(f"P1{number:03X}", system="Engine") for number in range(100)]
    nav = page_of(chapters[50], site_of(*chapters)).one("nav", id="ui-nav")
    shown = [mark.text for mark in nav.all("span", class_="mark")]
    assert len(shown) == 40
    assert "P1032" in shown  # 50 in hexadecimal
    last = page_of(chapters[99], site_of(*chapters)).one("nav", id="ui-nav")
    assert [mark.text for mark in last.all("span", class_="mark")][-1] == "P1063"


def test_every_landmark_has_a_name_of_its_own_and_the_text_can_take_the_focus() -> None:
    page = page_of(HIGH)
    names = [nav.attributes["aria-label"] for nav in page.all("nav")]
    assert len(set(names)) == len(names) == 2
    assert page.one("a", class_="skip").attributes["href"] == f"#{page.one('main').attributes['id']}"


def test_the_policy_allows_only_files_of_the_manual_and_no_inline_script_or_style() -> None:
    page = page_of(HIGH)
    policy = page.one("meta", http_equiv="Content-Security-Policy").attributes["content"]
    assert policy is not None
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules.pop("default-src") == "'none'"
    assert {rules.pop("base-uri"), rules.pop("form-action")} == {"'none'"}
    assert set(rules) == {"script-src", "style-src", "font-src", "img-src"}
    assert set(rules.values()) == {"'self' file:"}
    assert all(script.attributes["src"] and not script.text for script in page.all("script"))
    assert not any("style" in element.attributes for element in page.all())


def test_an_index_page_of_a_name_of_its_own_shows_that_index_without_a_second_heading() -> None:
    page = Page("grounds", "Index of grounds", "index")
    assert list(page_of(page, site_of(page)).one("main").all("h2")) == []
