"""An abbreviation stands in the text, and neither the glossary nor the book's names explain it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.passage import Passage
from authorkit.checks.prose.book_names import book_names
from authorkit.checks.prose.todo_left import MARKERS
from authorkit.checks.subject import Subject
from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.problems import Problem
from authorkit.units import UNITS

RULE = "abbreviation-unexplained"

_TOKEN = re.compile(r"(?<![\w.{:_-])([A-Z]{2,5})(?=s?(?![\w+]|\.\w|-\d))")
# Capitals that are no abbreviations: positions of a key and what to do, words set in capitals, Roman numbers.
_COMMANDS = frozenset(("CRANK", "DO", "OFF", "ON", "RUN", "START", "STOP"))
_WORDS = frozenset(("AND", "IF", "IN", "IS", "NEVER", "NO", "NOT", "OK", "ONLY", "OR", "TO", "YES"))
_ROMAN = re.compile(r"(?:X{0,3})(?:IX|IV|V?I{1,3}|V|X)")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each notebook and abbreviation, at its first use there."""
    known = _known(subject)
    seen: set[tuple[str, str]] = set()
    for passage in subject.passages:
        for match in _TOKEN.finditer(passage.words):
            token = match[1]
            key = (passage.place.file, token)
            if token not in known and key not in seen and not _ROMAN.fullmatch(token):
                seen.add(key)
                if not _is_explained(passage, match):
                    yield _problem(passage, match)


def _known(subject: Subject) -> frozenset[str]:
    units = {part for unit in UNITS for name in (unit.symbol, *unit.spellings) for part in re.split(r"\W+", name)}
    return book_names(subject) | units | _WORDS | _COMMANDS | SIGNAL_WORDS.keys() | set(MARKERS)


def _is_explained(passage: Passage, match: re.Match[str]) -> bool:
    """Whether the text itself spells it out: 'controller area network (CAN)' or 'CAN (controller area network)'."""
    token, text = match[1], passage.words
    before, after = text[max(0, match.start() - 120) : match.start()], text[match.end() : match.end() + 120]
    if before.endswith("(") and after.startswith(")"):
        words = re.findall(r"[A-Za-z]+", before)[-len(token) :]
    else:
        inside = re.match(r"\s\(([^()]+)\)", after)
        words = re.findall(r"[A-Za-z]+", inside[1]) if inside else []
    return "".join(word[0] for word in words).upper() == token


def _problem(passage: Passage, match: re.Match[str]) -> Problem:
    token = match[1]
    return Problem(
        RULE,
        f"The abbreviation '{token}' is not explained in the glossary.",
        passage.at(match.start()),
        found=token,
        expected="a word, a name of the book, or a term of the glossary",
        suggestion=f"Add '{token}: MEANING' to 'terms' of the vehicle notebook, or write it out.",
    )
