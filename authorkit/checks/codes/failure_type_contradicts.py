"""The failure type says how the circuit fails, and the title or the set condition says the opposite."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.failure_type import EXPECTED_CONDITIONS, FAILURE_TYPES
from authorkit.model.generic_titles import GENERIC_TITLES
from authorkit.model.specification import SetCondition
from authorkit.model.title_words import read_title
from authorkit.problems import Problem

RULE = "failure-type-contradicts"

# Failure type → the direction that it rules out. A short to ground pulls a circuit low and a short to battery pulls it
# high, and an open that is told together with one of them reads the same. An open alone (13) may read either way.
_RULED_OUT = {0x11: "high", 0x14: "high", 0x16: "high", 0x12: "low", 0x15: "low", 0x17: "low"}
_OPPOSITE = {"low": "high", "high": "low"}
_FAULT_WORDS = ("open", "short")


def check(subject: Subject) -> Iterator[Problem]:
    """The base text, the title, then the set conditions of every chapter whose code has a failure type."""
    for chapter in subject.book.chapters:
        if chapter.code.failure_type:
            yield from _base_text(chapter, subject)
        if chapter.code.failure_type in EXPECTED_CONDITIONS:
            yield from _title(chapter)
            yield from _conditions(chapter)


def _meaning(chapter: Chapter) -> str:
    assert chapter.code.failure_type is not None
    value = chapter.code.failure_type
    return f"the failure type {value:02X} means '{FAILURE_TYPES[value]}'"


def _base_text(chapter: Chapter, subject: Subject) -> Iterator[Problem]:
    """A base text that tells how the circuit fails takes the failure type 00 (SAE J2012-DA)."""
    base, value = chapter.code.text, chapter.code.failure_type
    listed = next((row.title for row in subject.book.vehicle.codes if str(row.code) == base), "")
    text = GENERIC_TITLES.get(base, listed)
    if text and read_title(text).modes:
        yield Problem(
            RULE,
            f"'{text}' says already how {base} fails, so its failure type is 00, not {value:02X}.",
            chapter.place_of("code"),
            found=str(chapter.code),
            expected=f"{base}-00 or {base}",
            suggestion=f"Write {base}, or use the code of the circuit without 'high', 'low' and the like.",
        )


def _title(chapter: Chapter) -> Iterator[Problem]:
    assert chapter.code.failure_type is not None
    modes = read_title(chapter.title).modes
    said = [word for word in ("low", "high") if word in modes]
    ruled_out = _RULED_OUT.get(chapter.code.failure_type)
    faults = [word for word in _FAULT_WORDS if word in modes]
    wrong = ruled_out if said == [ruled_out] else _wrong_fault(chapter.code.failure_type, faults)
    if wrong is not None:
        yield Problem(
            RULE,
            f"The title says '{wrong}', but {_meaning(chapter)}.",
            chapter.place_of("title"),
            found=chapter.title,
            expected=f"a title that agrees with failure type {chapter.code.failure_type:02X}",
            suggestion="Correct the title or the failure type.",
            also=(chapter.place_of("code"),),
        )


def _wrong_fault(value: int, faults: list[str]) -> str | None:
    """'open' or 'short' in a title whose failure type is a fault of the wiring, but not this one."""
    expected = " ".join(EXPECTED_CONDITIONS[value])
    is_wiring_fault = any(word in expected for word in _FAULT_WORDS)
    return faults[0] if is_wiring_fault and len(faults) == 1 and faults[0] not in expected else None


def _conditions(chapter: Chapter) -> Iterator[Problem]:
    """A finding where voltage is watched, and never in the direction of the failure type."""
    assert chapter.code.failure_type is not None
    ruled_out = _RULED_OUT.get(chapter.code.failure_type)
    watched = [each for each in chapter.sets_when if _direction(each)]
    if ruled_out is None or not watched or any(_direction(each) != ruled_out for each in watched):
        return
    condition = watched[0]
    yield Problem(
        RULE,
        f"The code sets when {condition.watch} is too {ruled_out}, but {_meaning(chapter)}.",
        condition.place,
        found=f"a limit that is passed when the voltage is {ruled_out}",
        expected=f"a limit that is passed when the voltage is {_OPPOSITE[ruled_out]}",
        suggestion="Correct the limit or the failure type.",
        also=(chapter.place_of("code"),),
    )


def _direction(condition: SetCondition) -> str | None:
    """'low' or 'high' for a voltage with one limit; None where the condition has no direction."""
    window = condition.window
    if window is None or window.dimension != "voltage" or (window.low and window.high):
        return None
    return "high" if window.low else "low"
