"""What a page sees is enough: it is the page made with the whole book in view; and no more than it needs."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from authorkit.drawing.picture import Picture
from authorkit.drawing.store import Drawn, PictureStore
from authorkit.facts.read_book import read_book
from authorkit.manual.chapter_page import chapter_page
from authorkit.manual.compose import compose
from authorkit.manual.numbering import numbered
from authorkit.manual.pages import PageMemory, _key, chapter_pages, page_of, scopes_of
from authorkit.manual.scope import scope_of, share
from authorkit.model.book import Book
from authorkit.store import KeptFiles, content_key
from tests.benchmarks.synthetic import make_book


@pytest.fixture(autouse=True)
def quick_pictures(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pictures that show nothing but a key of what they would be drawn from."""

    def keyed(self: PictureStore, kind: str, facts: object, draw: object) -> Drawn:
        pictures = tuple(Picture(b"<svg/>", 10.0, 10.0, content_key(kind, facts)) for _ in range(2))
        return pictures, ()

    monkeypatch.setattr(PictureStore, "pictures", keyed)
    monkeypatch.setattr("authorkit.manual.sections.connectors.beside", lambda faces, width: faces)


@pytest.fixture(scope="module")
def demo(repo_root: Path) -> Book:
    return read(repo_root)


@pytest.fixture(scope="module")
def synthetic(tmp_path_factory: pytest.TempPathFactory) -> Book:
    folder = tmp_path_factory.mktemp("book")
    make_book(folder, 12)
    return read(folder)


def read(folder: Path) -> Book:
    book, _ = read_book(folder)
    assert book is not None
    return book


@pytest.mark.parametrize("name", ["demo", "synthetic"])
def test_a_page_from_its_sight_is_the_page_with_the_whole_book_in_view(
    name: str, request: pytest.FixtureRequest
) -> None:
    book = request.getfixturevalue(name)
    shared = share(book)
    for scope, chapter in zip(scopes_of(shared, book.chapters), book.chapters, strict=True):
        whole = replace(scope_of(shared, chapter), told=scope.told, together=scope.together)
        assert chapter_page(scope) == chapter_page(whole), str(chapter.code)


def test_a_sight_is_small(synthetic: Book) -> None:
    shared = share(synthetic)
    for scope in scopes_of(shared, synthetic.chapters):
        assert len(scope.harness.wires) < len(shared.harness.wires) / 2
        assert len(scope.book.chapters) < len(synthetic.chapters)


def test_an_edit_elsewhere_changes_the_key_of_a_page_only_if_it_sees_it(demo: Book) -> None:
    def keys(book: Book) -> dict[str, str]:
        return {scope.code: _key(scope) for scope in scopes_of(share(book), book.chapters)}

    before = keys(demo)
    chapters = tuple(
        replace(chapter, title="Another title", lamp="Another lamp") if str(chapter.code) == "P0AA6" else chapter
        for chapter in demo.chapters
    )
    after = keys(replace(demo, chapters=chapters))
    changed = {code for code in before if before[code] != after[code]}
    mentions = {scope.code for scope in scopes_of(share(demo), demo.chapters) if "P0AA6" in str(scope.chapter)}
    assert "P0AA6" in changed
    assert changed <= mentions
    assert changed < before.keys()


def test_the_order_of_work_and_what_is_remembered_change_nothing(demo: Book, tmp_path: Path) -> None:
    alone = compose(demo)
    memory = PageMemory()
    with ThreadPoolExecutor(3) as executor:
        assert compose(demo, executor=executor) == alone
    assert compose(demo, store=PictureStore(KeptFiles(tmp_path)), memory=memory) == alone
    assert compose(demo, store=PictureStore(KeptFiles(tmp_path)), memory=memory) == alone
    assert compose(demo, store=PictureStore(KeptFiles(tmp_path))) == alone


def test_a_page_that_did_not_change_is_the_same_object(demo: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    memory, shared = PageMemory(), share(demo)
    first = chapter_pages(shared, demo.chapters, memory=memory)
    edited = replace(demo.chapters[2], lamp="Another lamp")
    book = replace(demo, chapters=(*demo.chapters[:2], edited, *demo.chapters[3:]))
    made: list[str] = []
    monkeypatch.setattr("authorkit.manual.pages.page_of", lambda scope: made.append(scope.code) or page_of(scope))
    second = chapter_pages(share(book), book.chapters, memory=memory)
    shows_files = {str(chapter.code) for chapter in book.chapters if any(each.capture for each in chapter.waveforms)}
    assert set(made) == {str(edited.code)} | shows_files
    assert second[2] != first[2]
    assert all(new[0] is old[0] for new, old in zip(second, first, strict=True) if new[0].mark not in made)


def test_a_kept_page_that_is_no_page_is_made_anew(demo: Book, tmp_path: Path) -> None:
    store = PictureStore(KeptFiles(tmp_path))
    scope = next(scopes_of(share(demo, store), demo.chapters))
    good = page_of(scope)
    key = _key(scope)
    assert key in KeptFiles(tmp_path)
    for damage in (b"", b"junk"):
        KeptFiles(tmp_path).put(key, damage)
        assert page_of(scope) == good == (numbered(good[0]), good[1])
