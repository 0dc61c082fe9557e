"""Where the book says what a code means: chapters and the code list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.trouble_code import TroubleCode
from authorkit.model.vehicle import ListedCode
from authorkit.problems import Place


@dataclass(frozen=True)
class Mention:
    """One place that gives a code its title: `fact` is the chapter or the row of the code list.

    `place` is that of the code, `title_place` that of the title, `words` name the fact in a sentence.
    """

    code: TroubleCode
    title: str
    set_by: str
    fact: Chapter | ListedCode
    place: Place
    title_place: Place
    words: str


def mentions(subject: Subject) -> Iterator[Mention]:
    """The code list, then the chapters, in reading order."""
    vehicle = subject.book.vehicle
    for row in vehicle.codes:
        title_place = vehicle.places.get(f"codes.{row.code}.title", row.place)
        yield Mention(row.code, row.title, row.set_by, row, row.place, title_place, "the code list")
    for chapter in subject.book.chapters:
        title_place = chapter.place_of("title")
        yield Mention(
            chapter.code,
            chapter.title,
            chapter.set_by,
            chapter,
            chapter.place_of("code"),
            title_place,
            f"the chapter '{chapter.file}'",
        )
