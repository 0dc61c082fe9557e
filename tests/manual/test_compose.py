"""The manual as pages: order, the fixed sections, and what every manual must say."""

from __future__ import annotations

from dataclasses import replace

from authorkit.manual.blocks import FactList, Heading, Table
from authorkit.manual.compose import DEFERENCE, compose, ordered
from authorkit.model.chapter import SECTIONS


def _chapter(manual, code):
    return next(page for page in manual.pages if page.anchor == code)


def test_the_pages_come_in_the_order_of_a_book(demo_manual):
    kinds = [page.kind for page in demo_manual.pages]
    assert kinds[:2] == ["title", "contents"]
    assert kinds.index("chapter") > kinds.index("front")
    assert kinds[-1] == "index"
    assert len({page.anchor for page in demo_manual.pages}) == len(demo_manual.pages)


def test_chapters_are_grouped_by_system_in_the_vehicles_order(demo_book, demo_manual):
    systems = [page.system for page in demo_manual.pages if page.kind == "chapter"]
    order = [demo_book.vehicle.systems.index(system) for system in systems]
    assert order == sorted(order)
    assert list(dict.fromkeys(systems)) == list(demo_manual.systems)


def test_every_chapter_holds_its_sections_in_the_fixed_order(demo_manual):
    fixed = list(SECTIONS.values())
    for page in demo_manual.pages:
        if page.kind == "chapter":
            headings = [block.text for block in page.blocks if isinstance(block, Heading) and block.level == 2]
            positions = [fixed.index(text) for text in headings]
            assert positions == sorted(positions), page.anchor
            for needed in (
                "What the code means",
                "When it sets",
                "How the circuit works",
                "Procedure",
                "After the repair",
            ):
                assert needed in headings, (page.anchor, needed)


def test_the_title_page_says_that_the_vehicle_does_not_exist_and_who_comes_first(demo_manual):
    assert "does not exist" in demo_manual.warnings[0]
    assert demo_manual.warnings[1] == DEFERENCE


def test_a_class_holds_only_its_chapters(demo_book):
    name, codes = demo_book.recipe.classes[0]
    manual, _ = compose(demo_book, codes)
    assert sorted(page.anchor for page in manual.pages if page.kind == "chapter") == sorted(codes), name


def test_an_edition_for_one_series_shows_only_its_circuit(demo_book):
    edition = replace(demo_book, recipe=replace(demo_book.recipe, series=("B",)))
    page = _chapter(compose(edition, ("P0118",))[0], "P0118")
    facts = next(block for block in page.blocks if isinstance(block, FactList))
    assert facts.rows[0][1][0].text == "Series B"
    wires = next(block for block in page.blocks if isinstance(block, Table) and block.caption.startswith("Wires"))
    assert "X12" not in str(wires.rows)  # the in-line connector is fitted in Series A only


def test_the_recipe_may_fix_the_order_within_a_system(demo_book):
    first = ordered(demo_book)[0]
    system = [chapter for chapter in ordered(demo_book) if chapter.system == first.system]
    last = str(system[-1].code)
    fixed = replace(demo_book, recipe=replace(demo_book.recipe, chapters=(last,)))
    assert str(ordered(fixed)[0].code) == last


def test_every_code_of_the_list_has_a_row_with_its_page_or_listed_only(demo_book, demo_manual):
    page = _chapter(demo_manual, "codes")
    table = next(block for block in page.blocks if isinstance(block, Table))
    listed = {str(code.code) for code in demo_book.vehicle.codes} | {str(c.code) for c in demo_book.chapters}
    assert len(table.rows) == len(listed) >= 60
    assert {row[3][0].text for row in table.rows} == {"chapter", "listed only"}
