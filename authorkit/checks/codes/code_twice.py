"""Two places say what one code is, and they do not agree: two chapters, or a chapter and the code list."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from authorkit.checks.codes.mentions import Mention, mentions
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.title_words import read_title
from authorkit.model.trouble_code import TroubleCode
from authorkit.problems import Problem

RULE = "code-twice"


def check(subject: Subject) -> Iterator[Problem]:
    """Facts that hold on different series say nothing about each other."""
    chapters: dict[TroubleCode, list[Mention]] = defaultdict(list)
    listed: dict[str, list[Mention]] = defaultdict(list)
    for mention in mentions(subject):
        if isinstance(mention.fact, Chapter):
            chapters[mention.code].append(mention)
        else:
            listed[str(mention.code)].append(mention)
    for code, said in chapters.items():
        yield from _two_chapters(said, subject)
        rows = listed.get(str(code)) or listed.get(code.text, [])
        for mention in said:
            yield from _list_differs(mention, [row for row in rows if _meet(row, mention, subject)])


def _meet(first: Mention, second: Mention, subject: Subject) -> bool:
    """Whether both hold on a common series."""
    return bool(subject.holds(first.fact) & subject.holds(second.fact))


def _two_chapters(said: list[Mention], subject: Subject) -> Iterator[Problem]:
    for number, later in enumerate(said):
        earlier = [mention for mention in said[:number] if _meet(mention, later, subject)]
        if earlier:
            common = subject.holds(earlier[0].fact) & subject.holds(later.fact)
            yield Problem(
                RULE,
                f"There are two chapters for {later.code}{subject.on_series(common)}: '{earlier[0].place.file}' "
                f"and '{later.place.file}'.",
                later.place,
                found=str(later.code),
                expected="one chapter for each code and series",
                suggestion="Join the chapters, correct one code, or limit each with 'series'.",
                also=tuple(mention.place for mention in earlier),
            )


def _list_differs(chapter: Mention, rows: list[Mention]) -> Iterator[Problem]:
    for row in rows:
        if chapter.title and _differ(row, chapter):
            yield Problem(
                RULE,
                f"The code list calls {row.code} '{row.title}', this chapter calls it '{chapter.title}'.",
                chapter.title_place,
                found=chapter.title,
                expected=row.title,
                suggestion="Use one title in both places.",
                also=(row.title_place,),
            )
        if row.code == chapter.code and row.set_by and chapter.set_by and row.set_by != chapter.set_by:
            assert isinstance(chapter.fact, Chapter)
            yield Problem(
                RULE,
                f"By the code list {row.set_by} stores {row.code}, by this chapter {chapter.set_by} does.",
                chapter.fact.place_of("set-by"),
                found=chapter.set_by,
                expected=row.set_by,
                suggestion="Name the same module in both places.",
                also=(row.place,),
            )


def _differ(row: Mention, chapter: Mention) -> bool:
    """Whether the two titles cannot mean the same; with a failure type a chapter may add how the circuit failed."""
    said, listed = read_title(chapter.title), read_title(row.title)
    if chapter.code.failure_type is not None and row.code.failure_type is None and not listed.modes:
        said = said.without_modes()
    return said.clashes_with(listed)
