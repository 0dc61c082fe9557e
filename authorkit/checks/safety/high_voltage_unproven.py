"""A step touches a class B circuit on a way that has not proven it dead."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.safety.contact import touched
from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.diagnosis.answers import dead_answer
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Branch, Step
from authorkit.model.voltage_limits import CLASS_B_DC
from authorkit.model.wiring import applies
from authorkit.problems import Problem
from authorkit.units import Window

RULE = "high-voltage-unproven"

# A step, and whether the circuit is proven dead when it begins.
_Spot = tuple[str, bool]


@dataclass(frozen=True)
class _Contact:
    """What a step touches, in words, the volts that it can carry, and the steps that lead there unproven."""

    step: Step
    words: str
    volts: float
    way: tuple[str, ...]


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such step, with one way that leads there.

    The proof is an `absence` step at the class B circuit with the state `disconnect: open`, left by an answer that says
    that it is dead: 'yes', or a range within ±60 V. Closing the disconnect undoes it. All ways from the first step
    are walked.
    """
    for chapter in subject.book.chapters:
        contacts: dict[str, _Contact] = {}
        series: dict[str, set[str]] = defaultdict(set)
        for circuit in subject.circuits_of(chapter):
            for contact in _unproven(circuit, _disconnects(circuit, subject)) if circuit.class_b else ():
                contacts.setdefault(contact.step.number, contact)
                series[contact.step.number].add(circuit.series)
        for number, contact in contacts.items():
            where = "" if series[number] == set(subject.series_of(chapter)) else subject.on_series(series[number])
            yield _problem(chapter, contact, where)


def _disconnects(circuit: ChapterCircuit, subject: Subject) -> frozenset[str]:
    """The service disconnects of a series and their connectors."""
    entries = subject.book.vehicle.high_voltage
    parts = {entry.disconnect for entry in entries if circuit.series in subject.holds(entry)}
    plugs = {name for name, connector in subject.harness.whole_connectors.items() if connector.part in parts}
    return frozenset(parts | plugs)


def _unproven(circuit: ChapterCircuit, disconnects: frozenset[str]) -> Iterator[_Contact]:
    """Every step that touches something that may be live on some way."""
    steps = {step.number: step for step in circuit.chapter.steps if applies(step.series, circuit.series)}
    for (number, proven), way in _ways(steps, circuit).items():
        step = steps[number]
        if not proven or _closes(step):
            found = next(touched(step, circuit.class_b, disconnects), None)
            if found is not None:
                yield _Contact(step, *found, way)


def _ways(steps: dict[str, Step], circuit: ChapterCircuit) -> dict[_Spot, tuple[str, ...]]:
    """Every spot that can be reached from the first step, with the shortest way there."""
    if not steps:
        return {}
    start = (next(iter(steps)), False)
    ways: dict[_Spot, tuple[str, ...]] = {start: (start[0],)}
    queue = deque([start])
    while queue:
        number, proven = spot = queue.popleft()
        kept = proven and not _closes(steps[number])
        for goto, proves in _exits(steps, number, circuit):
            after = (goto, kept or proves)
            if goto in steps and after not in ways:
                ways[after] = (*ways[spot], goto)
                queue.append(after)
    return ways


def _exits(steps: dict[str, Step], number: str, circuit: ChapterCircuit) -> Iterator[tuple[str, bool]]:
    """Where a step leads, and whether that answer is the proof. Without answers a reader goes on to the next step."""
    step = steps[number]
    for branch in step.branches:
        yield branch.goto, _proves(step, branch, circuit)
    if not step.branches and not step.is_end:
        numbers = list(steps)
        yield from ((following, False) for following in numbers[numbers.index(number) + 1 :][:1])


def _closes(step: Step) -> bool:
    return step.state is not None and step.state.disconnect == "closed"


def _proves(step: Step, branch: Branch, circuit: ChapterCircuit) -> bool:
    """Whether leaving a step by this answer means that the circuit has been proven dead."""
    if step.test is None or step.test.kind != "absence":
        return False
    if step.state is None or step.state.disconnect != "open":
        return False
    if not any(point in circuit.class_b for point in step.test.points):
        return False
    if branch.window is not None:
        return _is_dead(branch.window)
    return branch.answer.casefold() == dead_answer(step.question)


def _is_dead(window: Window) -> bool:
    """Whether every reading of a window in volts is within the limit of class A (60 V d.c., either polarity)."""
    if window.is_battery_relative or window.high is None or window.dimension != "voltage":
        return False
    low = window.low.resolve() if window.low is not None else 0.0
    return window.high.resolve() <= CLASS_B_DC.value and low >= -CLASS_B_DC.value


def _problem(chapter: Chapter, contact: _Contact, where: str) -> Problem:
    step = contact.step
    kind = step.test.kind if step.test is not None and contact.words.startswith("measures") else "state"
    return Problem(
        RULE,
        f"Step {step.number} {contact.words}, which can carry {contact.volts:.0f} V, on a way that has not proven it "
        f"dead{where}.",
        chapter.place_of(f"procedure.{step.number}.{kind}"),
        found=f"the way {', '.join(contact.way)}",
        expected="an 'absence' step with the state {disconnect: open} on every way to this step",
        suggestion="Let every way pass a step with 'state: {key: off, disconnect: open}' and "
        "'absence: [POLE, POLE, GROUND]', and let only its answer 'yes' (dead) lead on.",
    )
