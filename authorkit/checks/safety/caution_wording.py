"""The signal word of a caution does not fit what the caution says, or the caution leaves something out."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.caution import Caution
from authorkit.problems import Problem

RULE = "caution-wording"


def _words(*patterns: str) -> re.Pattern[str]:
    return re.compile(rf"\b({'|'.join(patterns)})\b", re.IGNORECASE)


_DEADLY = (r"kill\w*", "deaths?", "die", "dies", "deadly", r"fatal\w*", "lethal", r"electrocut\w*")

# Words that mean harm to a person by themselves, and words that do so in a sentence that also names a person.
_HARM = _words(*_DEADLY, r"injur\w*", "electric shocks?", r"wound\w*", r"amputat\w*")
_WEAK_HARM = _words(
    r"burn\w*", "cuts?", r"crush\w*", r"pinch\w*", "hurts?", "shocks?", r"blind\w*", r"scald\w*", r"poison\w*"
)
_PERSON = _words(
    "you", "your", "yourself", r"person\w*", "people", "anybody", "anyone", "somebody", "someone", "hands?", "fingers?",
    "skin", "eyes?", "face", "hair",
)  # fmt: skip
_GRAVE = _words(*_DEADLY, r"(serious|severe)(ly)? (\w+ )?injur\w*")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each caution that ANSI Z535 would word otherwise (read in public summaries)."""
    for chapter in subject.book.chapters:
        for caution in chapter.cautions:
            yield from _wording(caution)
            yield from _missing(caution)


def _wording(caution: Caution) -> Iterator[Problem]:
    harm = _harm(f"{caution.hazard} {caution.consequence}")
    if caution.word == "NOTICE" and harm:
        yield Problem(
            RULE,
            f"A NOTICE is about damage, but this one speaks of harm to a person ('{harm}').",
            caution.place,
            found=f"NOTICE with '{harm}'",
            expected="CAUTION, WARNING or DANGER where a person can be hurt",
            suggestion="Use CAUTION for a lesser injury, WARNING where it could kill, DANGER where it will.",
        )
    if caution.word == "DANGER" and caution.consequence and not _GRAVE.search(caution.consequence):
        yield Problem(
            RULE,
            "A DANGER must say that it will kill or seriously injure, but its consequence does not.",
            caution.place,
            found=caution.consequence,
            expected="death or serious injury as the consequence",
            suggestion="State the consequence, or use WARNING or CAUTION if the harm is less certain or less grave.",
        )


def _harm(text: str) -> str | None:
    """The first word that speaks of harm to a person."""
    for sentence in re.split(r"[.!?]\s+", text):
        found = _HARM.search(sentence) or (_PERSON.search(sentence) and _WEAK_HARM.search(sentence))
        if found:
            return found.group()
    return None


def _missing(caution: Caution) -> Iterator[Problem]:
    said = {"consequence": caution.consequence, "avoid": "".join(caution.avoid)}
    for name, text in said.items():
        if not text.strip():
            yield Problem(
                RULE,
                f"The {caution.word} does not say {_TELLS[name]}.",
                caution.place,
                found=f"'{name}' without a text",
                expected="hazard, consequence and how to avoid it",
                suggestion=f"Add '{name}'.",
            )


_TELLS = {"consequence": "what happens if it is ignored", "avoid": "how to avoid it"}
