"""The author's words, one passage at a time: pieces of prose and texts of facts, with the place of every character."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.dollarmath import dollarmath_plugin

from authorkit.model.chapter import Chapter
from authorkit.problems import Place


@dataclass(frozen=True)
class Passage:
    """One text. `path` leads to it among the facts ('procedure.3.do'); it is '' for prose.

    `chapter` is None on front pages and in the vehicle notebook.
    """

    text: str
    place: Place
    path: str = ""
    chapter: Chapter | None = None

    @property
    def is_prose(self) -> bool:
        """True for Markdown, whose lines stand in the cell as they stand here."""
        return not self.path

    def at(self, offset: int) -> Place:
        """The place of a character. A fact may be quoted or folded, so its own place has to do."""
        if not self.is_prose:
            return self.place
        number = bisect_right(self.line_starts, offset) - 1
        column = offset - self.line_starts[number] + (1 if number else self.place.column)
        return Place(self.place.file, self.place.cell, self.place.line + number, column)

    @cached_property
    def line_starts(self) -> list[int]:
        """The offset of each line."""
        return [0, *(match.end() for match in re.finditer("\n", self.text))]

    @cached_property
    def tokens(self) -> list[Token]:
        """The blocks of Markdown; no link is refused here, so that the rules see what was typed.

        A lone carriage return is a blank: the parser would count lines that nobody else counts.
        """
        return _MARKDOWN.parse(self.text.replace("\r", " ")) if self.is_prose else []

    @cached_property
    def words(self) -> str:
        """What is plain words: references, code, formulas and addresses are blanked, every offset stays."""
        return _blanked(_NOT_WORDS, self.text)

    @cached_property
    def without_code(self) -> str:
        """The text with code and formulas blanked, references left in; a fact has neither."""
        return _blanked(_NOT_LIVE, self.text) if self.is_prose else self.text

    @cached_property
    def names(self) -> str:
        """The same with code left in, for rules that look for names wherever they are typed."""
        return _blanked(_NOT_NAMES, self.text)

    def sentences(self) -> Iterator[tuple[int, int]]:
        """Start and end of each sentence, heading, item of a list and row of a table."""
        start = 0
        for match in _SENTENCE_END.finditer(self.text):
            yield start, match.end()
            start = match.end()
        yield start, len(self.text)


def _markdown() -> MarkdownIt:
    parser = MarkdownIt("commonmark").enable("table")
    parser.use(dollarmath_plugin, allow_labels=False, allow_space=False, allow_digits=False)
    # A refused link would be left in the text as if it were words, a mended one could not be found again.
    parser.validateLink = lambda url: True  # type: ignore[method-assign]
    parser.normalizeLink = lambda url: url  # type: ignore[method-assign]
    return parser


_MARKDOWN = _markdown()

_REFERENCE = r"\{[A-Za-z]{2,12}:[^{}\n]{1,80}\}"
_FENCE = r"^ {0,3}(?P<fence>`{3,}|~{3,})[^\n]*\n.*?(?:^ {0,3}(?P=fence)[`~]*[ \t]*$|\Z)"
_CODE = r"(?P<ticks>(?<!`)`+(?!`)).+?(?<!`)(?P=ticks)(?!`)"
_TARGET = r"(?<=\])\([^()\s]*(?:\([^()\s]*\)[^()\s]*)*(?:[ \t]+\"[^\"\n]*\")?\)"
_ADDRESS = r"<?\b[a-z]{3,6}://[^\s>]+>?"
_FORMULA = r"\$\$.+?\$\$|(?<![\\$])\$(?![\s$])[^$\n]+?(?<![\s\\])\$(?!\d)"
_COMMENT = r"<!--.*?(?:-->|\Z)"

_FLAGS = re.DOTALL | re.MULTILINE
_NOT_WORDS = re.compile("|".join((_FENCE, _CODE, _REFERENCE, _TARGET, _ADDRESS, _FORMULA, _COMMENT)), _FLAGS)
_NOT_LIVE = re.compile("|".join((_FENCE, _CODE, _FORMULA, _COMMENT)), _FLAGS)
_NOT_NAMES = re.compile("|".join((_REFERENCE, _TARGET, _ADDRESS, _FORMULA, _COMMENT)), _FLAGS)
_WORTH_A_LOOK = re.compile(r"[`~{$(<]|://")

# A full stop ends a sentence where a capital, a reference or a mark follows: 'approx. 5 V' goes on.
_SENTENCE_END = re.compile(r"[.!?][)\"'”’]*(?=\s+[A-Z{`*(\[])|\n[ \t]*\n|\n(?=[ \t]*(?:[-*+#|>]|\d{1,3}[.)]\s))")


def _blanked(pattern: re.Pattern[str], text: str) -> str:
    if _WORTH_A_LOOK.search(text) is None:
        return text
    return pattern.sub(lambda match: re.sub(r"[^\n]", " ", match.group()), text)
