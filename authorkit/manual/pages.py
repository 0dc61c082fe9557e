"""The pages of the chapters, each made from its sight alone: anywhere, side by side, and only if that has changed."""

from __future__ import annotations

import hashlib
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field, replace
from pathlib import Path

from authorkit.circuit.names import Names
from authorkit.circuit.study import Studies
from authorkit.diagnosis.together import Pattern, companions
from authorkit.manual.blocks import Page
from authorkit.manual.chapter_page import chapter_page
from authorkit.manual.numbering import numbered
from authorkit.manual.scope import Scope, Shared, scope_of
from authorkit.manual.sight import Lookout
from authorkit.manual.telling import Tell, silent
from authorkit.manual.told import patterns_of, told_of
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.problems import Problem
from authorkit.store import content_key, packed, unpacked

Made = tuple[Page, tuple[Problem, ...]]

_FIGURES = "figures"
_AHEAD = 32
# Of a place only the file matters to a page: what is said here counts before what others say.
_NO_PART_OF_IT = ("cell", "line", "column", "places")


@dataclass
class PageMemory:
    """What a process that stays remembers: pages by what they were made from, digests by the very object.

    `pages` is by the chapter's file: the chapter, what the rest of the book said to all pages, and the page.
    """

    pages: dict[str, tuple[Chapter, str, Made]] = field(default_factory=dict)
    digests: dict[int, tuple[object, str]] = field(default_factory=dict)

    def digest(self, record: object, make: Callable[[], str]) -> str:
        """The digest of a record that never changes; made once for each object."""
        known = self.digests.get(id(record))
        if known is None or known[0] is not record:
            known = (record, make())
            self.digests[id(record)] = known
        return known[1]

    def forget(self, book: Book) -> None:
        """Let go of what belongs to no chapter of the book."""
        alive = {id(each) for each in (book.vehicle, *book.chapters)}
        files = {chapter.file for chapter in book.chapters}
        self.digests = {key: entry for key, entry in self.digests.items() if key in alive}
        self.pages = {file: entry for file, entry in self.pages.items() if file in files}


def chapter_pages(
    shared: Shared,
    chapters: Sequence[Chapter],
    *,
    executor: Executor | None = None,
    memory: PageMemory | None = None,
    tell: Tell = silent,
) -> list[Made]:
    """The page of each chapter, numbered, in the order given, and what could not be shown on it."""
    memory = memory or PageMemory()
    world = _world(shared.book, memory)
    found: dict[str, Made] = {}
    for chapter in chapters:
        known = memory.pages.get(chapter.file)
        if known and known[0] is chapter and known[1] == world and not _looks_elsewhere(chapter):
            found[chapter.file] = known[2]
    missing = [chapter for chapter in chapters if chapter.file not in found]
    for chapter, made in _made(shared, missing, executor, tell):
        found[chapter.file] = made
        memory.pages[chapter.file] = (chapter, world, made)
    memory.forget(shared.book)
    return [found[chapter.file] for chapter in chapters]


def page_of(scope: Scope) -> Made:
    """The page of a chapter from its sight; kept with the pictures. The work of one task, for any process."""
    kept = scope.shared.store.kept
    if kept.folder is None or _looks_elsewhere(scope.chapter, but_files=True):
        return _numbered(*chapter_page(scope))
    key = _key(scope)
    data = kept.get(key)
    if data is not None and isinstance(found := _unpacked(data), Page):
        return found, ()
    page, problems = _numbered(*chapter_page(scope))
    if not problems:  # findings name places, which are no part of the key
        kept.put(key, packed(page))
    return page, problems


def _numbered(page: Page, problems: tuple[Problem, ...]) -> Made:
    return numbered(page), problems


def scopes_of(
    shared: Shared, chapters: Sequence[Chapter], found: Sequence[Pattern] = (), *, travelling: bool = False
) -> Iterator[Scope]:
    """What the page of each chapter sees, and nothing more; `found` are the patterns of codes of the whole book.

    One that goes to another process leaves the studies behind and takes along what they are made from.
    """
    lookout = Lookout(shared.book, shared.harness, shared.wirings)
    for chapter in chapters:
        scope = scope_of(shared, chapter)
        together = companions(found, scope.code)
        codes = {code for pattern in together for code in pattern.codes}
        book, harness, wirings = lookout.from_chapter(chapter, scope.circuits, codes)
        alone = replace(shared.book, chapters=(chapter,), front=())
        studies = Studies(alone, shared.store.kept) if travelling else shared.studies
        own = Shared(book, harness, Names(book, harness), wirings, {}, shared.store, studies)
        told = told_of(shared.studies, chapter, scope.circuits, shared.store.kept)
        yield replace(scope, shared=own, told=told, together=together)


def _made(
    shared: Shared, chapters: Sequence[Chapter], executor: Executor | None, tell: Tell
) -> Iterator[tuple[Chapter, Made]]:
    """Pages made one after the other, or handed to the executor with a few tasks ahead of the one waited for."""
    found = patterns_of(shared.book, shared.studies, shared.store.kept) if chapters else ()
    scopes = scopes_of(shared, chapters, found, travelling=executor is not None)
    results = map(page_of, scopes) if executor is None else _in_parallel(scopes, executor)
    for number, (chapter, made) in enumerate(zip(chapters, results, strict=True), start=1):
        tell("pages composed", number, len(chapters))
        yield chapter, made


def _in_parallel(scopes: Iterator[Scope], executor: Executor) -> Iterator[Made]:
    """The pages in order, with some tasks waiting ahead: all at once would hold the sights of a whole book."""
    waiting: deque[Future[Made]] = deque()
    for scope in scopes:
        waiting.append(executor.submit(page_of, scope))
        if len(waiting) > _AHEAD:
            yield waiting.popleft().result()
    while waiting:
        yield waiting.popleft().result()


def _world(book: Book, memory: PageMemory) -> str:
    """A digest of what pages may see of the rest of the book: the vehicle, the heads and wirings of all chapters."""
    digest = hashlib.sha256(repr(book.recipe.series).encode())
    digest.update(memory.digest(book.vehicle, lambda: _digest(book.vehicle)).encode())
    for chapter in book.chapters:
        digest.update(memory.digest(chapter, lambda chapter=chapter: _digest(_outside(chapter))).encode())  # type: ignore[misc]
    return digest.hexdigest()


def _outside(chapter: Chapter) -> tuple[object, ...]:
    """What other pages may see of a chapter."""
    head = (chapter.code, chapter.title, chapter.set_by, chapter.system, chapter.file, chapter.series, chapter.wiring)
    return (*head, chapter.sets_when, chapter.states)


def _digest(record: object) -> str:
    return content_key("seen", record, without=_NO_PART_OF_IT)


def _key(scope: Scope) -> str:
    """The key of a page: the chapter, its circuits and its sight, and the files that it may show."""
    shared = scope.shared
    seen = (shared.book.recipe, shared.book.vehicle, shared.book.chapters, shared.harness, shared.wirings)
    files = {name: _file_digest(scope.book.folder / _FIGURES / name) for name in _file_names(scope.chapter)}
    known = (scope.circuits, scope.class_b, scope.told.proofs, scope.together)
    return content_key("page", scope.chapter, known, seen, files, without=_NO_PART_OF_IT)


def _file_names(chapter: Chapter) -> list[str]:
    """The files below figures/ that a chapter names."""
    names = {figure.file for figure in chapter.figures} | {waveform.capture for waveform in chapter.waveforms}
    return sorted(name for name in names if name)


def _file_digest(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError):
        return "absent"


def _looks_elsewhere(chapter: Chapter, *, but_files: bool = False) -> bool:
    """Whether a page shows what is neither in the book nor in a file of figures/: what a code cell printed."""
    return bool(getattr(chapter, "cell_figures", ())) or (not but_files and bool(_file_names(chapter)))


def _unpacked(data: bytes) -> object:
    try:
        return unpacked(data)
    except ValueError:
        return None
