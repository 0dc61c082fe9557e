"""`%new KIND CODE` in a notebook: a chapter from a kind of circuit, with names that are free in the book."""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from authorkit.desk.book_state import BookState
from authorkit.desk.known_words import Offer
from authorkit.facts.read_book import VEHICLE_FILE
from authorkit.model.book import Book
from authorkit.output.html.markup import escape, tag
from authorkit.starters.chapter import NewChapter, new_chapter
from authorkit.starters.error import StarterError
from authorkit.starters.identity import Wish
from authorkit.starters.kinds import KINDS
from authorkit.starters.notebook import write_new
from authorkit.starters.template import scalar

_TYPED = re.compile(r"[ \t]*%new[ \t]+(?P<before>(?:\S+[ \t]+)*)(?P<word>\S*)$")
_OPTIONS = ("--title", "--module", "--series")
_EXAMPLE = "%new thermistor P0115"

Ask = Callable[[str], str]


@dataclass(frozen=True)
class Made:
    """A chapter that was written, and what is left to do."""

    file: str
    address: str
    advice: tuple[str, ...]

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        """IPython's hook."""
        link = tag("a", escape(self.file), href=self.address, target="_blank")
        lines = [tag("div", tag("strong", "Made: "), link), *(tag("div", escape(line)) for line in self.advice)]
        return {"text/html": "\n".join(lines), "text/plain": "\n".join([f"Made: {self.file}", *self.advice])}


@dataclass(frozen=True)
class Guide:
    """How to use `%new`: the kinds of circuits, and codes of the list that no chapter tells about yet."""

    codes: tuple[tuple[str, str], ...]

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        """IPython's hook."""
        kinds = [(kind.name, kind.words) for kind in KINDS.values()]
        intro = f"Type a kind and a code, such as {_EXAMPLE}. Tab completes both; {', '.join(_OPTIONS)} say more."
        html = [tag("p", escape(intro)), _rows("Kinds of circuits", kinds)]
        text = [intro, *(f"  {name:<20}{words}" for name, words in kinds)]
        if self.codes:
            html.append(_rows("Codes of the list that have no chapter yet", self.codes))
            text += [
                "Codes of the list that have no chapter yet:",
                *(f"  {code:<10}{title}" for code, title in self.codes),
            ]
        return {"text/html": "\n".join(html), "text/plain": "\n".join(text)}


def _rows(caption: str, rows: list[tuple[str, str]] | tuple[tuple[str, str], ...]) -> str:
    style = "text-align:left;padding:1px 10px 1px 0"
    body = (tag("tr", *(tag("td", escape(cell), style=style) for cell in row)) for row in rows)
    return tag("table", tag("caption", escape(caption), style="text-align:left;font-weight:bold"), *body)


class _Parser(argparse.ArgumentParser):
    """Reads the line; a mistake becomes a sentence instead of the end of the kernel."""

    def error(self, message: str) -> NoReturn:
        raise StarterError(f"{message[:1].upper()}{message[1:]}. Write it like {_EXAMPLE}.")


def _parser() -> _Parser:
    parser = _Parser(prog="%new", add_help=False)
    parser.add_argument("kind")
    parser.add_argument("code")
    parser.add_argument("--title")
    parser.add_argument("--module")
    parser.add_argument("--series", action="append", default=[])
    return parser


def guide(state: BookState) -> Guide:
    """What may be typed behind `%new`."""
    book, _ = state.book()
    return Guide(tuple(_unwritten(book)) if book else ())


def wish_of(line: str) -> Wish:
    """What a line asks for. Raises StarterError."""
    try:
        words = shlex.split(line)
    except ValueError as error:
        raise StarterError(f"The line cannot be read: {error}.") from error
    options = _parser().parse_args(words)
    return Wish(options.code, options.kind, options.module, options.title, tuple(options.series))


def asked_wish(ask: Ask) -> Wish | None:
    """What the author answers to one question after the other; None as soon as one of the first two has no answer."""
    kind = ask(f"Kind of circuit ({', '.join(KINDS)}): ").strip()
    code = ask("Trouble code, such as P0115: ").strip() if kind else ""
    if not code:
        return None
    title = ask("What the code means (Enter: as the code list or the standard says): ").strip()
    module = ask("Module that stores it (Enter: as the code list says): ").strip()
    return Wish(code, kind, module or None, title or None)


def make(state: BookState, wish: Wish) -> Made:
    """Write the chapter of a wish into the manual. Raises StarterError."""
    book, problems = state.book()
    if book is None:
        raise StarterError(f"{VEHICLE_FILE} cannot be read: {problems[0].message if problems else 'it is empty'}")
    made = new_chapter(book, wish)
    path = state.folder / made.file
    try:
        write_new(path, made.text)
    except FileExistsError as error:
        raise StarterError(f"There is something at {path} already; nothing was written.") from error
    return Made(made.file, _address(path), tuple(_advice(made)))


def _address(path: Path) -> str:
    """The notebook beside this one: JupyterLab opens such links itself."""
    try:
        return path.relative_to(Path.cwd()).as_posix()
    except ValueError:
        return path.as_posix()


def _advice(made: NewChapter) -> Iterator[str]:
    identity = made.identity
    if not identity.is_listed:
        row = f"{identity.code}: {{title: {scalar(identity.title)}, set-by: {identity.module}}}"
        yield f"Add to 'codes' of {VEHICLE_FILE}: {row}"
    yield "Open it, replace what is marked TODO, and run its facts cell."


def new_offers(line: str, state: BookState | None) -> tuple[str, tuple[Offer, ...]] | None:
    """The fragment and the words for a line of `%new` up to the cursor; None for any other line."""
    found = _TYPED.match(line)
    if found is None:
        return None
    before, word = found["before"].split(), found["word"]
    book = state.book()[0] if state else None
    offers = [offer for offer in _words(before, book) if offer.text.casefold().startswith(word.casefold())]
    return word, tuple(offers)


def _words(before: list[str], book: Book | None) -> Iterator[Offer]:
    if not before:
        yield from (Offer(kind.name, kind.words) for kind in KINDS.values())
    elif len(before) == 1:
        yield from (Offer(code, title) for code, title in _unwritten(book)) if book else ()
    elif before[-1] == "--module" and book:
        parts = book.vehicle.wiring.parts
        yield from (Offer(part.id, part.name) for part in parts if part.kind == "module")
    elif before[-1] == "--series" and book:
        yield from (Offer(series.id, series.name) for series in book.vehicle.series)
    else:
        yield from (Offer(option, "option") for option in _OPTIONS)


def _unwritten(book: Book) -> Iterator[tuple[str, str]]:
    """The codes of the list that no chapter tells about."""
    written = {str(chapter.code) for chapter in book.chapters}
    for row in book.vehicle.codes:
        if str(row.code) not in written:
            yield str(row.code), row.title
