"""`readings(...)` in a code cell: what an instrument reads, computed from the circuit of the notebook's chapter."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

from authorkit.circuit.faults import Fault, find_fault
from authorkit.circuit.instruments import INSTRUMENTS
from authorkit.circuit.netlist import CHASSIS
from authorkit.circuit.questions import study_states
from authorkit.circuit.reading_words import limit_words, nominal_words
from authorkit.circuit.readings import Reading, faults_in, measured, read_state
from authorkit.circuit.view import circuit_of
from authorkit.desk.asking import AskError, chapter_here, series_asked, unknown
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.states import STATE
from authorkit.facts.yaml_lines import read_yaml
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point, parse_point
from authorkit.model.specification import State
from authorkit.model.wiring import Wiring
from authorkit.output.html.markup import escape, tag


@dataclass(frozen=True)
class Readings:
    """The answer of an instrument, one for each group of series that have the same. Shown as a number with its unit."""

    found: tuple[tuple[str, Reading], ...]

    @property
    def value(self) -> float | None:
        """The number of the first series in the unit of its instrument (V, Ω, A, Hz, %); None if there is none."""
        return self.found[0][1].nominal

    @property
    def limits(self) -> tuple[float | None, float | None]:
        """The lowest and the highest value that sound parts allow on the first series."""
        return self.found[0][1].low, self.found[0][1].high

    def __str__(self) -> str:
        """'2.5 V', or '2.5 V (Series A), 2.4 V (Series B)'."""
        return ", ".join(_said(nominal_words(reading), series) for series, reading in self.found)

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        """IPython's hook."""
        shown = []
        for series, reading in self.found:
            limits = limit_words(reading)
            words = _said(f" ({limits})" if limits else "", series)
            shown.append(tag("div", tag("strong", escape(nominal_words(reading))), escape(words)))
        return {"text/plain": str(self), "text/html": "".join(shown)}


def _said(words: str, series: str) -> str:
    return f"{words} ({series})" if series else words


@dataclass(frozen=True)
class Question:
    """What is asked; '' leaves it open: the chapter's first state, to ground, every series, no fault, this chapter."""

    at: str
    state: str | Mapping[str, object] = ""
    to: str = ""
    instrument: str = "volts"
    series: str = ""
    fault: str = ""
    code: str = ""


def ask(question: Question) -> Readings:
    """The readings on each series, those that are the same together. Raises AskError."""
    book, chapter = chapter_here(question.code)
    if question.instrument not in INSTRUMENTS:
        raise AskError(unknown("instrument", question.instrument, INSTRUMENTS))
    groups: list[tuple[list[str], Reading]] = []
    for series in series_asked(book, chapter, question.series):
        reading = _reading(book, chapter, series, question)
        same = next((names for names, known in groups if _words(known) == _words(reading)), None)
        if same is None:
            groups.append(([series], reading))
        else:
            same.append(series)
    if len(groups) == 1:
        return Readings((("", groups[0][1]),))
    return Readings(tuple((f"Series {' and '.join(names)}", reading) for names, reading in groups))


def _words(reading: Reading) -> tuple[str, str]:
    """What is printed of a reading."""
    return nominal_words(reading), limit_words(reading)


def _reading(book: Book, chapter: Chapter, series: str, question: Question) -> Reading:
    wiring = circuit_of(book, chapter, series)
    state = _known_state(chapter, series, question.state)
    at = _point(question.at, wiring)
    to = None if question.instrument == "amps" else _ground(wiring)
    to = _point(question.to, wiring) if question.to else to
    measurement = measured(question.instrument, (at, to), wiring, state)
    fault = _fault(faults_in(book, chapter, series), question.fault) if question.fault else None
    return read_state(book, wiring, (state, series), [measurement], fault=fault)[0]


def _fault(known: tuple[Fault, ...], identity: str) -> Fault:
    fault = find_fault(known, identity)
    if fault is None:
        raise AskError(unknown("fault", identity, [each.id for each in known]))
    return fault


def _ground(wiring: Wiring) -> Point:
    return Point(next((ground.id for ground in wiring.grounds), CHASSIS))


def _point(text: str, wiring: Wiring) -> Point:
    known = {str(end) for wire in wiring.wires for end in wire.ends} | {str(use.point) for use in wiring.cavities}
    known |= {record.id for records in (wiring.grounds, wiring.splices, wiring.feeds) for record in records}
    known |= {str(terminal) for device in wiring.devices for terminal in device.terminals}
    if text not in known:
        raise AskError(unknown("point", text, sorted(known)))
    return parse_point(text)


def _known_state(chapter: Chapter, series: str, wanted: str | Mapping[str, object]) -> State:
    """The state of a name, the chapter's first if none is named, or one written out."""
    if isinstance(wanted, Mapping):
        node, _ = read_yaml(json.dumps(wanted, ensure_ascii=False), "state")
        reader = Reader()
        written = reader.read(STATE, node) if node is not None else None
        if written is None or reader.problems:
            raise AskError(
                f"The state {dict(wanted)} cannot be read: {' '.join(each.message for each in reader.problems)}"
            )
        return written
    known = study_states(chapter, series)
    if not known and not wanted:
        return State("", chapter.place, key="on")
    if wanted and wanted not in known:
        raise AskError(unknown("state", wanted, known))
    return known[wanted] if wanted else next(iter(known.values()))
