"""Which answer a step gets under a fault: computed from the readings, or told by the author."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf

from authorkit.circuit.faults import Fault
from authorkit.circuit.readings import Reading, inside
from authorkit.circuit.study import Question, Study, step_questions
from authorkit.diagnosis.suspicion import faults_named
from authorkit.model.procedure import Branch, Step
from authorkit.model.voltage_limits import CLASS_B_DC
from authorkit.model.wiring import Wiring
from authorkit.units import Bound, Window

COMPUTED, TOLD, STATUS, UNKNOWN = "computed", "told", "status", "unknown"

_LIVE = "live circuit"


@dataclass(frozen=True)
class Answer:
    """What a step may answer under one fault.

    `branches` are those that can be taken; `how` tells where that comes from: 'computed', 'told' by the author,
    'status' (whether the code sets now) or 'unknown' (nobody says, so every answer is possible). `missed` is True where
    some reading lies in no answer, `reading` is what was compared.
    """

    branches: tuple[Branch, ...]
    how: str
    missed: bool = False
    reading: Reading | None = None

    @property
    def straddles(self) -> bool:
        """Whether a reading lies in several answers that lead to different steps."""
        return self.how == COMPUTED and len({branch.goto for branch in self.branches}) > 1


@dataclass
class Answers:
    """The answers of one chapter's steps on one series, each worked out once."""

    study: Study
    wiring: Wiring
    blame: Mapping[str, frozenset[str]]
    _known: dict[tuple[str, str], Answer] = field(default_factory=dict)
    _questions: dict[str, tuple[Question, ...]] = field(default_factory=dict)
    _told: dict[str, Mapping[str, frozenset[str]]] = field(default_factory=dict)

    def of(self, step: Step, fault: str) -> Answer:
        """What a step answers under a fault ('' for the sound circuit)."""
        key = (step.number, fault)
        if key not in self._known:
            self._known[key] = self._worked_out(step, fault)
        return self._known[key]

    def questions(self, step: Step) -> tuple[Question, ...]:
        """What the meter of a step asks."""
        if step.number not in self._questions:
            self._questions[step.number] = step_questions(self.wiring, step)
        return self._questions[step.number]

    def _worked_out(self, step: Step, fault: str) -> Answer:
        if step.shows:
            return self._as_told(step, fault)
        if asks_status(step, self.study.code):
            return self._status(step, fault)
        readings = [self.study.reading(question, fault) for question in self.questions(step)]
        windows = any(branch.window for branch in step.branches)
        if readings and not windows and step.test is not None and step.test.kind == "absence":
            return _absence(step, [reading for reading in readings if reading])
        if not readings or not windows or any(reading is None for reading in readings):
            return Answer(step.branches, UNKNOWN)
        return compared(step.branches, [_as_shown(reading) for reading in readings if reading])

    def _as_told(self, step: Step, fault: str) -> Answer:
        """By the author's word: the answers that name the fault, else those for which nothing is named.

        What the eye is to see it can also miss: a look that should show a fault may get the other answers as well.
        """
        if step.number not in self._told:
            self._told[step.number] = {
                answer: frozenset(each.id for text in texts for each in self._named(text))
                for answer, texts in step.shows
            }
        told = self._told[step.number]
        named = tuple(branch for branch in step.branches if fault in told.get(branch.answer, ()))
        rest = tuple(branch for branch in step.branches if branch.answer not in told)
        if named and step.test is not None and step.test.kind == "look":
            return Answer((*named, *rest), TOLD)
        return Answer(named or rest or step.branches, TOLD)

    def _named(self, text: str) -> Sequence[Fault]:
        return faults_named(text, self.study.faults, self.blame)

    def _status(self, step: Step, fault: str) -> Answer:
        """Whether the code is present: yes for a fault that sets it or that no condition can rule out."""
        sets = {setting.sets for setting in self.study.settings.get(fault, ())}
        sure = bool(sets & {"sets", "not computed"})
        wanted = ("yes",) if sure else ("yes", "no", "else") if "may set" in sets else ("no", "else")
        fitting = tuple(branch for branch in step.branches if branch.answer.casefold() in wanted)
        return Answer(fitting or step.branches, STATUS)


# A question that 'yes' answers with live voltage ('Is any voltage left?'); 'yes' to others means that it is dead.
_ASKS_FOR_VOLTAGE = re.compile(
    r"\b(any|some|still|remaining|residual)\b[^?]*\bvoltage\b|\bvoltage\b[^?]*\b(left|remain\w*|present|still)\b"
    r"|\b(is|are)\b[^?]*\blive\b",
    re.IGNORECASE,
)


def dead_answer(question: str) -> str:
    """The answer in words that means 'no voltage': mostly 'yes', but 'no' to 'Is any voltage left?'."""
    return "no" if _ASKS_FOR_VOLTAGE.search(question) else "yes"


def _absence(step: Step, readings: Sequence[Reading]) -> Answer:
    """Whether a circuit is dead, answered in words: within the limit of class A on every pair of points."""
    ends = [end for reading in map(_as_shown, readings) for end in (reading.low, reading.high)]
    if any(end is None for end in ends):
        return Answer(step.branches, UNKNOWN, reading=readings[0])
    dead = all(abs(end) <= CLASS_B_DC.value for end in ends if end is not None)
    word = dead_answer(step.question)
    fitting = tuple(branch for branch in step.branches if (branch.answer.casefold() == word) == dead)
    return Answer(fitting or step.branches, COMPUTED if fitting else UNKNOWN, reading=readings[0])


def asks_status(step: Step, code: str) -> bool:
    """Whether a step reads on the scan tool if the code of the page is present: 'scan: status of P0118'."""
    if step.test is None or step.test.kind != "scan":
        return False
    return re.match(rf"status of (the code|{re.escape(code)})\b", step.test.subject, re.IGNORECASE) is not None


# What 0 V has over a battery that is anything from nearly flat to charging hard (common practice), in V.
BELOW_ANY_BATTERY = (-16.0, -6.0)


def _as_shown(reading: Reading) -> Reading:
    """A voltmeter on a point that nothing drives shows next to nothing: its own input pulls the point down."""
    if reading.status == "floating" and reading.unit == "V":
        return replace(reading, nominal=0.0, low=0.0, high=0.0, status="driven", over_battery=BELOW_ANY_BATTERY)
    return reading


def compared(branches: Sequence[Branch], readings: Sequence[Reading]) -> Answer:
    """The branches that readings can take; with several pairs of points an answer must hold for every pair."""
    if any(reading.status == _LIVE for reading in readings):
        return Answer(tuple(branches), UNKNOWN, reading=readings[0])
    worst = readings[0]
    taken: list[Branch] = []
    for branch in branches:
        if branch.window is None:
            continue
        lies = {inside(reading, branch.window) for reading in readings}
        if "unknown" in lies and "outside" not in lies:
            return Answer(tuple(branches), UNKNOWN, reading=worst)
        if lies == {"inside"}:
            return Answer((*taken, branch), COMPUTED, reading=worst)
        if "outside" not in lies:
            taken.append(branch)
    if len(readings) == 1 and _covers([branch.window for branch in taken if branch.window], worst):
        return Answer(tuple(taken), COMPUTED, reading=worst)
    rest = tuple(branch for branch in branches if branch.window is None)
    return Answer((*taken, *rest), COMPUTED, missed=not rest, reading=worst)


def _covers(windows: Sequence[Window], reading: Reading) -> bool:
    """Whether windows that a reading straddles hold all of it together: only told where all share one reference."""
    if not windows:
        return False
    battery = {bound.of for window in windows for bound in (window.low, window.high) if bound}
    ends = reading.over_battery if battery == {"battery"} else (reading.low, reading.high)
    if len(battery) > 1 or ends is None or ends[0] is None or ends[1] is None:
        return False
    at, scale = ends[0], 0.01 if reading.unit == "%" else 1.0
    for window in sorted(windows, key=lambda each: _limit(each.low, -inf)):
        if _limit(window.low, -inf) > at * scale:
            return False
        at = max(at, _limit(window.high, inf) / scale)
    return at >= ends[1]


def _limit(bound: Bound | None, without: float) -> float:
    return bound.offset.base if bound is not None else without
