"""One chapter as one file: the page, or slides; refused like a build where its facts contradict themselves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from authorkit.desk.page_view import in_the_way, picture_store
from authorkit.manual.compose import compose_chapters
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.output.html.lone import lone_html
from authorkit.output.html.slides import slides_html
from authorkit.problems import Problem


@dataclass(frozen=True)
class Made:
    """A file's text, and the findings; there is no text where one of them is an error."""

    text: str | None
    problems: tuple[Problem, ...]


def page_file(book: Book, reading: Sequence[Problem], chapter: Chapter) -> Made:
    """The page of a chapter as an HTML file that carries everything inside."""
    problems = in_the_way(book, reading, [chapter])
    if problems:
        return Made(None, problems)
    manual, found = compose_chapters(book, [chapter], picture_store(book))
    text, left_out = lone_html(manual)
    return _made(text, (*found, *left_out))


def slides_file(book: Book, reading: Sequence[Problem], chapters: Sequence[Chapter], name: str) -> Made:
    """Chapters as slides in one HTML file that carries everything inside; `name` stands on the first slide."""
    problems = in_the_way(book, reading, chapters)
    if problems:
        return Made(None, problems)
    manual, found = compose_chapters(book, chapters, picture_store(book))
    text, left_out = slides_html(manual, name)
    return _made(text, (*found, *left_out))


def _made(text: str, problems: tuple[Problem, ...]) -> Made:
    refused = any(problem.severity == "error" for problem in problems)
    return Made(None if refused else text, problems)
