"""The book around a cell that is being typed in: read as far as it can be, without the line under the cursor."""

from __future__ import annotations

from dataclasses import dataclass, field

from authorkit.desk.book_state import BookState, with_cell
from authorkit.desk.cursor import Spot, spot_at
from authorkit.desk.known_words import Around
from authorkit.desk.located import Located, Origin, locate
from authorkit.desk.mend import mended
from authorkit.desk.slot import Slot, slot_of
from authorkit.facts.notebook import Cell
from authorkit.facts.schema.chapter import CHAPTER
from authorkit.facts.schema.vehicle import VEHICLE
from authorkit.model.book import Book


@dataclass
class Typing:
    """Answers where the cursor is and what is known there; keeps the book from one keystroke to the next."""

    state: BookState
    _key: object = None
    _book: Book | None = field(default=None)

    def around(
        self, source: str, offset: int, origin: Origin, *, finished: bool = False
    ) -> tuple[Spot, Slot | None, Around | None]:
        """The spot, what may stand there (None: nothing known), and the words of the book (None: no book).

        `finished` says that the line of the cursor counts as well, if the cell can be read with it.
        """
        located = locate(self.state, source, origin)
        spot = spot_at(source, offset)
        slot = slot_of(VEHICLE if located.is_vehicle else CHAPTER, spot.levels)
        book = self._read(located, source.count("\n", 0, offset), finished=finished)
        if book is None or slot is None:
            return spot, slot, None
        chapter = next((chapter for chapter in book.chapters if chapter.file == located.file), None)
        return spot, slot, Around(book, chapter, spot, slot)

    def _read(self, located: Located, line: int, *, finished: bool) -> Book | None:
        part = mended(located.cell) if finished else None
        if part is None or part.left_out:
            lines = located.cell.source.split("\n")
            lines[line] = ""
            part = mended(Cell(located.file, located.cell.number, "code", "\n".join(lines)))
        key = (located.file, part, self.state.stamp())
        if key != self._key:
            notebook = with_cell(located.notebook, located.cell.number, part.source) if part else None
            self._book = self.state.book(notebook)[0]
            self._key = key
        return self._book
