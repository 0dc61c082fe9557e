"""The whole manual from the book: title, contents, front pages, chapters, back pages."""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import Executor
from dataclasses import replace

from authorkit.circuit.study import Studies
from authorkit.drawing.store import PictureStore
from authorkit.manual.back_pages import back_pages
from authorkit.manual.blocks import Block, Inline, LineBreak, Manual, Page, Text
from authorkit.manual.markdown import render_markdown
from authorkit.manual.numbering import numbered
from authorkit.manual.pages import PageMemory, chapter_pages, page_of, scopes_of
from authorkit.manual.scope import Shared, link_to, share
from authorkit.manual.systems_page import systems_page
from authorkit.manual.telling import Tell, silent
from authorkit.model.book import Book, FrontPage
from authorkit.model.chapter import Chapter
from authorkit.model.vehicle import ListedCode
from authorkit.problems import Problem

# What every manual says on its title page, whatever the author writes: the work can hurt, and others decide.
DEFERENCE = (
    "The vehicle maker's current procedure, local codes and licensed practice come first. "
    "Where this manual differs from them, they are right and this manual is wrong."
)


def compose(
    book: Book,
    selection: tuple[str, ...] = (),
    store: PictureStore | None = None,
    *,
    executor: Executor | None = None,
    memory: PageMemory | None = None,
    studies: Studies | None = None,
    tell: Tell = silent,
) -> tuple[Manual, tuple[Problem, ...]]:
    """The manual as pages of blocks, and what could not be shown.

    `selection` limits the chapters to these codes (a class); empty means all. `store` keeps drawings and pages from
    build to build, `memory` pages from call to call, `studies` are those already made of this book. The pages of
    chapters are made side by side by the `executor`.
    The order is: the recipe's list first, the rest by system, then by code.
    """
    shared = _limited(share(book, store, studies), selection)
    problems: list[Problem] = []
    pages = [Page("title", book.recipe.title, "title"), Page("contents", "Contents", "contents")]
    for front in book.front:
        page, found = _front_page(front, shared)
        pages.append(page)
        problems += found
    pages += filter(None, (systems_page(shared),))
    pages = [numbered(page) for page in pages]
    chapters = ordered(shared.book)
    for page, found_in_chapter in chapter_pages(shared, chapters, executor=executor, memory=memory, tell=tell):
        pages.append(page)
        problems += found_in_chapter
    pages += (numbered(page) for page in back_pages(shared))
    return _manual(book, tuple(pages)), tuple(problems)


def compose_chapters(
    book: Book, chapters: Iterable[Chapter], store: PictureStore | None = None
) -> tuple[Manual, tuple[Problem, ...]]:
    """A manual of these chapters alone, each the page that the whole manual has; and what they cannot show.

    Only the codes that come together are missing: they take the circuits of all chapters.
    """
    shared = share(book, store)
    made = [page_of(scope) for scope in scopes_of(shared, tuple(chapters))]
    problems = tuple(problem for _, found in made for problem in found)
    return _manual(book, tuple(page for page, _ in made)), problems


def _limited(shared: Shared, selection: tuple[str, ...]) -> Shared:
    """The same with only the selected chapters; the others are listed codes then. The harness stays whole."""
    if not selection:
        return shared
    book = shared.book
    kept = tuple(chapter for chapter in book.chapters if str(chapter.code) in selection)
    listed = {str(code.code) for code in book.vehicle.codes}
    left_out = tuple(
        ListedCode(chapter.code, chapter.title, chapter.set_by, chapter.place, chapter.series)
        for chapter in book.chapters
        if chapter not in kept and str(chapter.code) not in listed
    )
    book = replace(book, chapters=kept, vehicle=replace(book.vehicle, codes=(*book.vehicle.codes, *left_out)))
    return replace(shared, book=book, names=replace(shared.names, book=book))


def ordered(book: Book) -> list[Chapter]:
    """The chapters in printing order."""
    systems = {name: position for position, name in enumerate(book.vehicle.systems)}
    fixed = {code: position for position, code in enumerate(book.recipe.chapters)}
    return sorted(
        book.chapters,
        key=lambda chapter: (
            systems.get(chapter.system, len(systems)),
            fixed.get(str(chapter.code), len(fixed)),
            str(chapter.code),
        ),
    )


def _manual(book: Book, pages: tuple[Page, ...]) -> Manual:
    recipe, vehicle = book.recipe, book.vehicle
    used = {page.system for page in pages if page.kind == "chapter"}
    lines = [
        f"{vehicle.name}, {vehicle.description}" if vehicle.description else vehicle.name,
        ", ".join(series.name for series in vehicle.series if not recipe.series or series.id in recipe.series),
        f"Edition {recipe.edition}" if recipe.edition.isdigit() else recipe.edition,
    ]
    identity: list[Text | LineBreak] = []
    for line in filter(None, lines):
        identity += [Text(line), LineBreak()]
    return Manual(
        title=recipe.title,
        subtitle=recipe.subtitle,
        language=recipe.language,
        date=recipe.date,
        publisher=recipe.publisher,
        identity=tuple(identity[:-1]),
        pages=pages,
        systems=tuple(system for system in vehicle.systems if system in used),
        warnings=tuple(filter(None, (vehicle.invented, DEFERENCE))),
    )


def _front_page(front: FrontPage, shared: Shared) -> tuple[Page, list[Problem]]:
    def resolve(kind: str, target: str) -> Inline | None:
        name = shared.names.find(kind, target, None)
        return link_to(name) if name else None

    blocks: list[Block] = []
    problems: list[Problem] = []
    for prose in front.prose:
        made, found = render_markdown(prose.text, resolve, prose.place)
        blocks += made
        problems += found
    anchor = front.file.rpartition("/")[2].removesuffix(".ipynb")
    return Page(anchor, front.title, "front", tuple(blocks), source=front.file), problems
