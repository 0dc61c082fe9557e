"""A plain voltage in the prose agrees with nothing that the facts say of this circuit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.passage import Passage
from authorkit.checks.prose.cavity_mentions import live_mentions, plain_mentions
from authorkit.checks.prose.stated_voltages import ROUNDING, Stated, stated_voltages
from authorkit.checks.readings.computed import given_words
from authorkit.checks.subject import Subject
from authorkit.circuit.readings import Reading
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.reference import find_references
from authorkit.model.specification import Spec
from authorkit.problems import Problem
from authorkit.units import as_typed, parse_quantity

RULE = "prose-voltage-differs"

_NUMBER = re.compile(r"(?<![\w.,])([-−]?\d+(?:\.\d+)?)[ \u00a0\u202f]?(mV|kV|V)(?![\w/·])")
# A sentence with one of these compares, limits or supposes; its numbers need not be readings.
_HEDGES = re.compile(
    r"\b(?:if|unless|above|below|over|under|more|less|least|most|higher|lower|between|within|instead|not|never|no"
    r"|would|could|may|might|drops?|drop|falls?|rises?|than|without|limit|up|down|until)\b",
    re.IGNORECASE,
)
_AS_SUPPLY = re.compile(
    r"(?P<number>\d+(?:\.\d+)?)[ -]?(?P<unit>V)[ -](?:sensor )?(?P<after>reference|supply|feed)\b"
    r"|\b(?P<before>reference|supply|feed)(?: voltage)?(?: of| is| at)(?: a| about| a steady)? "
    r"(?P<number2>\d+(?:\.\d+)?)[ \u00a0\u202f]?(?P<unit2>V)\b"
    r"|\b(?P<verb>feeds?|supplies|supply)(?: a| about| a steady| a fixed)? "
    r"(?P<number3>\d+(?:\.\d+)?)[ \u00a0\u202f]?(?P<unit3>V)\b"
)
# Facts that speak of the whole vehicle or of the page, not of this circuit.
# A number in prose beside a reading of next to nothing.
_ZERO = 0.05  # V
_MOST_GIVEN = 3
_OTHER_FACTS = ("title", "meaning-source", "before-start")


@dataclass(frozen=True)
class _Sentence:
    """Part of a passage: from `start` to `end`, and the cavities that it names."""

    passage: Passage
    start: int
    end: int
    points: set[Point]

    @property
    def words(self) -> str:
        """Its plain words; references and code are blanked, offsets count from `start`."""
        return self.passage.words[self.start : self.end]


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each number; the exact rule stands in the explanation."""
    known: dict[str, Stated] = {}
    for passage in subject.passages:
        chapter = passage.chapter
        if chapter is None or passage.path.split(".")[0] in _OTHER_FACTS or _NUMBER.search(passage.words) is None:
            continue
        if chapter.file not in known:
            known[chapter.file] = stated_voltages(chapter, subject)
        mentions = (*plain_mentions(passage), *live_mentions(passage))
        for start, end in passage.sentences():
            sentence = _Sentence(passage, start, end, {each.point for each in mentions if start <= each.start < end})
            yield from _supplies(sentence, known[chapter.file])
            yield from _readings(sentence, chapter, known[chapter.file])
            yield from _computed(sentence, chapter, (known[chapter.file], subject))


def _readings(sentence: _Sentence, chapter: Chapter, stated: Stated) -> Iterator[Problem]:
    """Numbers beside a point that has a spec."""
    numbers = list(_NUMBER.finditer(sentence.words))
    specs = _specs_named(sentence, chapter) if numbers and not _HEDGES.search(sentence.words) else []
    for match in numbers if specs else ():
        volts = parse_quantity(f"{match[1].replace('−', '-')} {match[2]}").base
        if not stated.agrees(volts):
            windows = ", ".join(dict.fromkeys(as_typed(spec.reads) for spec in specs))
            name = next((spec.name for spec in specs if spec.name), "")
            yield Problem(
                RULE,
                f"The sentence about {specs[0].at} says {match.group()}, but the facts give {windows}.",
                sentence.passage.at(sentence.start + match.start()),
                found=match.group(),
                expected=windows,
                suggestion=f"Write '{{reading:{name}}}', or correct the number."
                if name
                else "Correct the number, or the spec.",
                also=tuple(dict.fromkeys(spec.place for spec in specs)),
            )


def _specs_named(sentence: _Sentence, chapter: Chapter) -> list[Spec]:
    """The voltage specs whose point or name the sentence mentions."""
    specs = [spec for spec in chapter.specs if spec.reads.dimension == "voltage"]
    if not specs:
        return []
    text = sentence.passage.text[sentence.start : sentence.end]
    names = {each.target for each in find_references(text) if each.kind == "reading"}
    return [
        spec
        for spec in specs
        if spec.at in sentence.points or spec.to in sentence.points or (spec.name and spec.name in names)
    ]


def _computed(sentence: _Sentence, chapter: Chapter, against: tuple[Stated, Subject]) -> Iterator[Problem]:
    """Numbers beside one cavity without a spec: some state of the circuit, sound or with a fault, must give them."""
    stated, subject = against
    numbers = list(_NUMBER.finditer(sentence.words))
    if not numbers or len(sentence.points) != 1 or _HEDGES.search(sentence.words) or _specs_named(sentence, chapter):
        return
    (point,) = sentence.points
    readings = list(_readings_at(point, chapter, subject))
    for match in numbers if readings else ():
        volts = parse_quantity(f"{match[1].replace('−', '-')} {match[2]}").base
        if not stated.agrees(volts) and not any(_is_given(volts, reading) for _, reading in readings):
            sound = {state: given_words(reading) for state, reading in readings if reading.status == "driven"}
            given = "; ".join(f"{words} in state '{state}'" for state, words in list(sound.items())[:_MOST_GIVEN])
            yield Problem(
                RULE,
                f"The sentence about {point} says {match.group()}, but the circuit gives that in no state and with no "
                f"fault; sound, it gives {given or 'nothing'}.",
                sentence.passage.at(sentence.start + match.start()),
                found=match.group(),
                expected=given or "a voltage that the circuit gives",
                suggestion="Correct the number, or the circuit.",
            )


def _readings_at(point: Point, chapter: Chapter, subject: Subject) -> Iterator[tuple[str, Reading]]:
    """Every computed voltage from a point to ground with the name of its state, the sound ones first."""
    studies = [subject.study(circuit) for circuit in subject.circuits_of(chapter)]
    faulty = [(study, fault.id) for study in studies for fault in study.faults]
    for study, fault in (*((study, "") for study in studies), *faulty):
        for (state, measurement), reading in study.readings[fault].items():
            if measurement.instrument == "volts" and measurement.at == str(point) and reading.low is not None:
                yield state, reading


def _is_given(volts: float, reading: Reading) -> bool:
    """Whether a rounded number may mean this reading."""
    assert reading.low is not None
    assert reading.high is not None
    return reading.low * (1 - ROUNDING) - _ZERO <= volts <= reading.high * (1 + ROUNDING) + _ZERO


def _supplies(sentence: _Sentence, stated: Stated) -> Iterator[Problem]:
    """Numbers that the text itself calls a reference, a supply or a feed."""
    for match in _AS_SUPPLY.finditer(sentence.words):
        number = match["number"] or match["number2"] or match["number3"]
        word = match["after"] or match["before"] or "supply"
        supplies = stated.references if word == "reference" and stated.references else stated.supplies
        if supplies and not any(stated.is_about(float(number), volts) for volts in supplies):
            given = " and ".join(f"{volts:g} V" for volts in supplies)
            yield Problem(
                RULE,
                f"The text says that the {word} is {number} V, but the facts of this circuit give {given}.",
                sentence.passage.at(sentence.start + match.start()),
                found=f"{number} V",
                expected=given,
                suggestion="Correct the number, or the facts.",
            )
