"""The sentences of passages: what kind of text they stand in, their words, their main clause."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from authorkit.checks.language.verbs import BEFORE_A_VERB, IMPERATIVES, LEADS, SUBORDINATE
from authorkit.checks.passage import Passage
from authorkit.problems import Place
from authorkit.units import UNITS

# Paths of texts that tell what to do, and nothing else.
_INSTRUCTION = re.compile(r"procedure\.[^ ]+\.do|after-repair(\.\d+)?|cautions\.\d+\.avoid(\.\d+)?")
# Paths of texts that tell what to do and why, or how a procedure ends.
_ADVICE = re.compile(r"procedure\.[^ ]+\.(repair|end)")
# Paths of questions and other short texts around the steps.
_ASIDE = re.compile(r"procedure\.[^ ]+\.question|before-start\.conditions(\.\d+)?")
# Paths of sentences that describe.
_DESCRIPTION = re.compile(
    r"cautions\.\d+\.(hazard|consequence)|suspects\.\d+\.because|sets-when\.\d+\.text|lamp|fail-safe"
)

_REFERENCE = re.compile(r"\{[A-Za-z]{2,12}:[^{}\n]{1,80}\}")
_BRACKETS = re.compile(r"\([^()]*\)")
_QUOTED = re.compile(r"‘[^’]*’|“[^”]*”|\"[^\"]*\"|(?<!\w)'[^']*'(?!\w)")
_SYMBOLS = "|".join(sorted((re.escape(unit.symbol) for unit in UNITS if unit.symbol), key=len, reverse=True))
_QUANTITY = re.compile(rf"(?<![\w.])[-−±]?\d+(?:[.,]\d+)?\s?(?:{_SYMBOLS})(?![\w/])")
# A label before the command: 'Series A: measure at X12.'
_LABEL = re.compile(r"[\w .-]{1,30}: (?=\w)")
_WORD = re.compile(r"[^\s,;:]*\w[^\s,;:]*")


@dataclass(frozen=True)
class Sentence:
    """One sentence on one line. `kind` is 'instruction', 'advice', 'aside' or 'description'."""

    text: str
    place: Place
    kind: str

    @cached_property
    def plain(self) -> str:
        """The sentence with each reference as one name, and without what stands in brackets."""
        return _BRACKETS.sub(" ", _REFERENCE.sub("X1", self.text)).strip()

    @cached_property
    def words(self) -> list[str]:
        """The words of the sentence without brackets."""
        return [match.strip(".!?…\"'’”") for match in _WORD.findall(self.plain)]

    @cached_property
    def command(self) -> str:
        """The command of an instruction without a condition, place or time before it and without what hangs on it.

        'If it is blown, find the short circuit that ...' → 'find the short circuit'.
        """
        return _main(_without_lead(self.plain))


def sentences(passage: Passage) -> Iterator[Sentence]:
    """The sentences of a passage that is a text of the procedure, of cautions or of descriptions; none of others.

    Unfinished ones (TODO) are left out: they have a finding of their own. So are questions among instructions.
    """
    kind = kind_of(passage)
    if not kind:
        return
    for start, end in passage.sentences():
        text = " ".join(passage.text[start:end].split())
        asked = text.endswith("?") and kind in ("instruction", "advice")
        if text and "TODO" not in text and not asked:
            yield Sentence(text, passage.at(start), kind)


def kind_of(passage: Passage) -> str:
    """Which kind of sentences a passage holds, '' for others."""
    if passage.is_prose:
        return ""
    kinds = {"instruction": _INSTRUCTION, "advice": _ADVICE, "aside": _ASIDE, "description": _DESCRIPTION}
    return next((kind for kind, pattern in kinds.items() if pattern.fullmatch(passage.path)), "")


def word_count(text: str) -> int:
    """The number of words as ASD-STE100 counts them (from memory).

    A hyphenated word, a quantity with its unit, a quoted text and a live reference are one word each.
    """
    for pattern in (_REFERENCE, _QUOTED, _QUANTITY):
        text = pattern.sub(" X1 ", text)
    return len(_WORD.findall(text))


def lengths(text: str) -> list[int]:
    """The words of a sentence, and those of each text in brackets, which counts as a sentence of its own."""
    text = _REFERENCE.sub("X1", text)
    inner = [match.group()[1:-1] for match in _BRACKETS.finditer(text)]
    return [word_count(each) for each in (_BRACKETS.sub(" ", text), *inner)]


def shortened(text: str) -> str:
    """A sentence for a message: its first words."""
    return text if len(text) <= 60 else f"{text[:60].rsplit(' ', 1)[0]} …"


def _without_lead(text: str) -> str:
    """The sentence from its command on, if words such as 'If it is blown,' or 'In Series A' stand before it."""
    label = _LABEL.match(text)
    if label:
        return _without_lead(text[label.end() :])
    first, _, rest = text.partition(" ")
    bare = first.strip(",:").lower()
    if bare in BEFORE_A_VERB or (bare.endswith("ly") and bare not in IMPERATIVES):
        return _without_lead(rest) if rest else text
    if bare not in LEADS or (bare in IMPERATIVES and "," not in text):
        return text
    _, comma, after = rest.partition(", ")
    return _without_lead(after) if comma else _from_a_verb(rest) or text


def _from_a_verb(text: str) -> str:
    """From the first word on that is surely a command: 'Series A look at X12' → 'look at X12'."""
    match = next((match for match in re.finditer(r"[\w-]+", text) if match.group() in IMPERATIVES), None)
    return text[match.start() :] if match else ""


def _main(text: str) -> str:
    """The sentence up to a word that begins a subordinate clause."""
    for match in re.finditer(r"[\w-]+", text):
        if match.start() and match.group().lower() in SUBORDINATE:
            return text[: match.start()].rstrip(" ,")
    return text
