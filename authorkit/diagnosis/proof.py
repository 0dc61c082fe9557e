"""A procedure put to the proof: every fault of the circuit walked through it, on one series."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from authorkit.circuit.faults import Fault
from authorkit.circuit.readings import Reading
from authorkit.circuit.study import Study
from authorkit.circuit.view import circuit_of
from authorkit.diagnosis.answers import Answers
from authorkit.diagnosis.blame import blames
from authorkit.diagnosis.effort import effort_of
from authorkit.diagnosis.suspicion import faults_told, weights_of
from authorkit.diagnosis.walk import RIGHT, UNNAMED, Ending, Procedure, Walk
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Step
from authorkit.model.wiring import Wiring, applies


@dataclass(frozen=True)
class Proof:
    """Every fault that may set the code, walked through the procedure of one chapter on one series.

    `blame` holds the right names of every fault of the circuit by its id, also of those that cannot set the code;
    `weights` how likely each fault is beside the others (`suspicion.CHANCES`).
    """

    chapter: Chapter
    study: Study
    wiring: Wiring
    procedure: Procedure
    walks: tuple[Walk, ...]
    blame: Mapping[str, frozenset[str]]
    weights: Mapping[str, float]

    @property
    def series(self) -> str:
        """The series."""
        return self.study.series

    @property
    def steps(self) -> Mapping[str, Step]:
        """The steps that hold on this series, by number."""
        return self.procedure.steps

    @cached_property
    def ends(self) -> Mapping[str, tuple[tuple[Fault, Ending], ...]]:
        """By the number of a last step: the faults that can end there, in the order of the circuit."""
        found: dict[str, list[tuple[Fault, Ending]]] = defaultdict(list)
        for walk in self.walks:
            for ending in walk.endings:
                if (walk.fault, ending.outcome) not in [(fault, other.outcome) for fault, other in found[ending.step]]:
                    found[ending.step].append((walk.fault, ending))
        return {number: tuple(pairs) for number, pairs in found.items()}

    @cached_property
    def arrivals(self) -> Mapping[str, tuple[Fault, ...]]:
        """By the number of a step: the faults with which a technician can arrive at it."""
        found: dict[str, dict[str, Fault]] = defaultdict(dict)
        for walk in self.walks:
            for ending in walk.endings:
                for number, _ in ending.path:
                    found[number].setdefault(walk.fault.id, walk.fault)
        return {number: tuple(faults.values()) for number, faults in found.items()}

    @property
    def is_computed(self) -> bool:
        """Whether every set condition is computed, so that the faults walked are all that can set the code."""
        settings = self.study.settings.get("", ())
        return bool(settings) and all(setting.sets != "not computed" for setting in settings)

    @property
    def minutes(self) -> float:
        """The minutes that the procedure takes on average over the faults by their weights, each by its longest way."""
        total = sum(self.weights[walk.fault.id] for walk in self.walks if walk.endings)
        spent = sum(
            self.weights[walk.fault.id] * max(ending.minutes for ending in walk.endings)
            for walk in self.walks
            if walk.endings
        )
        return spent / total if total else 0.0

    def is_proven(self, walk: Walk) -> bool:
        """Whether every way of a fault ends at a verdict that accuses it.

        A fault that may or may not set the code may also end without a verdict: the code is not there then.
        """
        fine = {RIGHT} if surely_sets(self.study, walk.fault.id) else {RIGHT, UNNAMED}
        outcomes = {ending.outcome for ending in walk.endings}
        return RIGHT in outcomes and outcomes <= fine


def can_set(study: Study, fault: str, told: Collection[str]) -> bool:
    """Whether a fault can set the code: by a computed condition; else, where one is told in words, by the page's word.

    `told` are the faults that the page speaks of (`suspicion.faults_told`). A fault that no meter shows in any state of
    the page sets nothing.
    """
    sets = {setting.sets for setting in study.settings.get(fault, ())}
    return bool(sets & {"sets", "may set"}) or ("not computed" in sets and fault in told and shows(study, fault))


def shows(study: Study, fault: str) -> bool:
    """Whether some reading of the chapter lies apart from that of the sound circuit."""
    return any(_apart(reading, study.readings[""].get(question)) for question, reading in study.readings[fault].items())


def _apart(reading: Reading, sound: Reading | None) -> bool:
    if sound is None or reading.status != sound.status:
        return sound is not None
    if reading.low is None or reading.high is None or sound.low is None or sound.high is None:
        return False
    return reading.low > sound.high or reading.high < sound.low


def surely_sets(study: Study, fault: str) -> bool:
    """Whether some computed condition sets the code for certain."""
    return any(setting.sets == "sets" for setting in study.settings.get(fault, ()))


def prove(book: Book, chapter: Chapter, study: Study) -> Proof:
    """Walk every fault that may set the code through the procedure. Nothing is solved here: the study has it all."""
    wiring = circuit_of(book, chapter, study.series)
    blame = blames(wiring, study.faults)
    steps = {step.number: step for step in chapter.steps if applies(step.series, study.series)}
    answers = Answers(study, wiring, blame)
    procedure = Procedure(steps, answers, effort_of(book, wiring, study.series), blame)
    told = faults_told(chapter, study.series, study.faults, blame)
    setting = tuple(fault for fault in study.faults if can_set(study, fault.id, told))
    walks = tuple(procedure.walk(fault) for fault in setting)
    weights = weights_of(setting, chapter.suspects, study.series, blame)
    return Proof(chapter, study, wiring, procedure, walks, blame, weights)
