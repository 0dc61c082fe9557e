"""The steps as a chart: what the list of steps says in full, short enough to see where each answer leads."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from functools import partial

from authorkit.drawing.steps import ChartAnswer, ChartStep, draw_steps
from authorkit.drawing.store import Drawn
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Figure, Heading
from authorkit.manual.inline_text import plain_text
from authorkit.manual.phrases import state_words
from authorkit.manual.scope import Scope
from authorkit.manual.sections.cautions import step_cautions
from authorkit.manual.sections.procedure import answer_words, procedure
from authorkit.model.procedure import Branch, Step, Test
from authorkit.model.wiring import applies
from authorkit.problems import Problem
from authorkit.units import show

# What an instrument is called in a box, where every millimetre counts.
_SHORT = {
    "volts": "Volts",
    "drop": "Voltage drop",
    "low-impedance": "Volts, low impedance",
    "ohms": "Ohms",
    "amps": "Amps",
    "hertz": "Frequency",
    "duty": "Duty cycle",
    "lamp": "Test lamp",
    "insulation": "Insulation",
    "scope": "Oscilloscope",
    "absence": "No voltage",
}
# The question of a measurement that only asks for the reading says nothing that the answers do not say.
_READING_ASKED = "what does the "


def procedure_with_chart(scope: Scope) -> Iterator[Block | Problem]:
    """The steps in full, then the chart: a reader meets each step's cautions before its box."""
    yield from procedure(scope)
    yield from step_chart(scope)


def step_chart(scope: Scope) -> Iterator[Block]:
    """One chart for each series whose steps differ."""
    groups = _groups(scope)
    if not groups:
        return
    yield Heading(3, "The steps as a chart")
    for series, steps in groups:
        where = f", Series {' and '.join(series)}" if len(groups) > 1 else ""
        chart = tuple(_chart_step(step, scope) for step in steps)
        pictures, _ = scope.shared.store.pictures("steps", chart, partial(_drawn, chart))
        for number, picture in enumerate(pictures, start=1):
            part = f" ({number} of {len(pictures)})" if len(pictures) > 1 else ""
            name = "-".join(("steps", *(series if len(groups) > 1 else ()), *((str(number),) if part else ())))
            yield Figure(
                f"Steps of {scope.code}{where}{part}",
                picture.svg,
                "svg",
                picture.alt,
                picture.width_mm,
                picture.height_mm,
                inside(scope.code, "figure", name),
            )


def _drawn(chart: Sequence[ChartStep]) -> Drawn:
    return draw_steps(chart), ()


def _groups(scope: Scope) -> list[tuple[tuple[str, ...], tuple[Step, ...]]]:
    """The steps of each series; series with the same steps share them."""
    groups: dict[tuple[str, ...], tuple[tuple[str, ...], tuple[Step, ...]]] = {}
    for series in scope.circuits:
        steps = tuple(step for step in scope.chapter.steps if applies(step.series, series))
        numbers = tuple(step.number for step in steps)
        if steps:
            groups[numbers] = ((*groups.get(numbers, ((), ()))[0], series), steps)
    return list(groups.values())


def _chart_step(step: Step, scope: Scope) -> ChartStep:
    cautions = step_cautions(step, scope)
    caution = cautions[0][0] if cautions else ""
    answers = tuple(ChartAnswer(_answer(branch), branch.goto) for branch in _good_first(step.branches))
    if step.is_end:
        ending, *more = _ending(step, scope)
        return ChartStep(step.number, ending, tuple(more), caution=caution)
    title, *lines = _words(step, scope)
    return ChartStep(step.number, title, tuple(lines), answers, caution)


def _ending(step: Step, scope: Scope) -> list[str]:
    """What is at fault, or an end that accuses nothing: its first sentence, then the others.

    Wires stand without colours, which may differ from series to series; the table of wires has them.
    """
    if not step.verdict:
        first, stop, others = plain_text(scope.inlines(step.end)).partition(". ")
        return [first + stop.strip(), *filter(None, [others])]
    wires = {wire.circuit for circuit in scope.circuits.values() for wire in circuit.wires}
    named = [_accused(name, wires, scope) for name in step.verdict]
    return [(" or " if step.either else ", ").join(named)]


def _accused(name: str, wires: Container[str], scope: Scope) -> str:
    for kind in ("part", "ground"):
        found = scope.shared.names.find(kind, name, scope.chapter)
        if found:
            return found.label
    return f"wire {name}" if name in wires else name


def _good_first(branches: Iterable[Branch]) -> list[Branch]:
    """'Yes' first, else the order of the author, who writes the answer of a sound vehicle first."""
    return sorted(branches, key=lambda branch: branch.answer != "yes")


def _answer(branch: Branch) -> str:
    return show(branch.window) if branch.window is not None else answer_words(branch.answer)


def _words(step: Step, scope: Scope) -> list[str]:
    """What is done in a few words, in which state, and the question where it says more than that."""
    question = plain_text(scope.inlines(step.question))
    said = _test_words(step.test, scope) if step.test else []
    if step.test and (step.test.points or step.test.watch):
        if step.state:
            said.append(state_words(step.state))
        if question.lower().startswith(_READING_ASKED):
            question = ""
    if not said and not question:
        question = plain_text(scope.inlines(step.do))
    return [words for words in (*said, question) if words] or [f"Step {step.number}"]


def _test_words(test: Test, scope: Scope) -> list[str]:
    if test.kind in ("look", "scan"):
        word = "Look at" if test.kind == "look" else "Scan tool"
        subject = test.watch or plain_text(scope.inlines(test.subject))
        return [f"{word}: {subject}"] if subject else []
    points = [str(point) for point in test.points]
    if len(points) == 2:
        return [f"{_SHORT[test.kind]} {points[0]} to {points[1]}"]
    return [f"{_SHORT[test.kind]} at {', '.join(points)}"]
