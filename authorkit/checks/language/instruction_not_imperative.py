"""An instruction is told, wished or owed instead of given: 'The plug should be removed.'"""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.language.sentences import Sentence, sentences, shortened
from authorkit.checks.language.verbs import IMPERATIVES, NO_VERBS, OBJECTS
from authorkit.checks.passage import Passage
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "instruction-not-imperative"

_OWED = re.compile(
    r"\b(should|shall|ought to|(?:must|has to|have to|needs? to|is to|are to)(?: not| never)? be)\b", re.IGNORECASE
)
_FORBIDS = ("do not", "don't", "never")
# Endings of names of things and of forms that no command has.
_NO_COMMAND = ("s", "ed", "ing", "ion", "ment", "ness", "or")
_NAME = re.compile(r"[A-Z]+[\w+-]*\d[\w.+-]*")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such sentence of a step, a caution or the work after the repair.

    In repairs and ends a statement may give the reason; there only what is owed is found.
    """
    for passage in subject.passages:
        yield from problems_of(passage)


def problems_of(passage: Passage) -> Iterator[Problem]:
    """The findings of one passage."""
    for sentence in sentences(passage):
        if sentence.kind in ("instruction", "advice"):
            found = _owed(sentence) or (sentence.kind == "instruction" and _start(sentence))
            if found:
                yield _problem(sentence, found)


def _owed(sentence: Sentence) -> str:
    match = _OWED.search(sentence.command)
    return match.group() if match else ""


def _start(sentence: Sentence) -> str:
    """The word with which a sentence begins that is no command; '' for a command."""
    command = sentence.command
    if command.lower().startswith(_FORBIDS):
        return ""
    first, _, rest = command.partition(" ")
    word = first.strip(".,:!?")
    if IMPERATIVES & {word.lower(), *word.lower().split("-")} and not _is_statement(word, rest):
        return ""
    return "" if _may_be_a_verb(word, rest) else word or sentence.text


def _is_statement(word: str, rest: str) -> bool:
    """Whether the verb is a thing here: 'Ground G1 is clean.'"""
    words = rest.split()
    return any(each in ("is", "are", "was", "were") for each in words[:3]) and words[0] not in OBJECTS


def _may_be_a_verb(word: str, rest: str) -> bool:
    """Whether a word that is not on the list is a command: an object follows, and its form is that of a verb."""
    bare = word.lower()
    following = rest.split(" ")[0].strip(".,")
    if bare in NO_VERBS or bare.endswith(_NO_COMMAND) or not bare.isalpha():
        return False
    return following in OBJECTS or bool(_NAME.match(following) and len(bare) > 3 and not _is_statement(word, rest))


def _problem(sentence: Sentence, found: str) -> Problem:
    return Problem(
        RULE,
        f"The sentence '{shortened(sentence.text)}' does not give its instruction as a command.",
        sentence.place,
        found=found,
        expected="a sentence that begins with its verb, perhaps after a condition and a comma",
        suggestion="Begin with the verb: 'Switch the key off', 'If the fuse is blown, replace it'.",
    )
