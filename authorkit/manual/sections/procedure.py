"""Before you start, and the steps."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside, listed_anchor
from authorkit.manual.blocks import (
    Answer,
    Block,
    FactList,
    Heading,
    Inlines,
    Link,
    Paragraph,
    StepBlock,
    Strong,
    Text,
    words,
)
from authorkit.manual.phrases import test_words
from authorkit.manual.scope import Scope
from authorkit.manual.sections.cautions import step_cautions
from authorkit.model.chapter import SECTIONS
from authorkit.model.procedure import Branch, Step
from authorkit.problems import Problem
from authorkit.units import show


def procedure(scope: Scope) -> Iterator[Block | Problem]:
    """The heading, what must be ready, then every step."""
    yield Heading(2, SECTIONS["procedure"], inside(scope.code, "section", "procedure"))
    yield Heading(3, "Before you start")
    yield _before(scope)
    if not scope.chapter.steps:
        yield Paragraph(words("No procedure is written yet."))
        return
    yield Heading(3, "Steps")
    before: Step | None = None
    for step in scope.chapter.steps:
        yield _step(step, before, scope)
        before = step


def _before(scope: Scope) -> FactList:
    before = scope.chapter.before_start
    return FactList(
        (
            ("Conditions", _joined(before.conditions, scope)),
            ("Tools", _tools(before.tools, scope)),
            ("Parts and supplies", _joined(before.parts, scope)),
            ("Who may do it", words(before.skill or "not stated")),
            ("Time", words(before.time or "not stated")),
        ),
        anchor=inside(scope.code, "section", "before-start"),
    )


def _joined(items: tuple[str, ...], scope: Scope) -> Inlines:
    return scope.inlines("; ".join(items) or "not stated")


def _tools(ids: tuple[str, ...], scope: Scope) -> Inlines:
    """Each tool by name, with its rating, linked to the list of tools."""
    known = {tool.id: tool for tool in scope.book.vehicle.tools}
    pieces: list[Link | Text] = []
    for name in ids:
        tool = known.get(name)
        if pieces:
            pieces.append(Text("; "))
        if tool is None:
            pieces.append(Text(name))
        else:
            label = f"{tool.name} ({tool.category})" if tool.category else tool.name
            pieces.append(Link(listed_anchor("tool", name), (Text(label),)))
    return tuple(pieces) or words("not stated")


def _step(step: Step, before: Step | None, scope: Scope) -> StepBlock:
    do = scope.inlines(step.do) if step.do else ()
    if step.called and (before is None or before.called != step.called):
        do = (Strong((*scope.inlines(step.called.title), Text(":"))), Text(" "), *do)
    series = scope.series_words(step.series)
    if series:
        do = (Text(f"Series {series}: "), *do)
    measure = _measure(step, scope)
    return StepBlock(
        number=step.number,
        anchor=inside(scope.code, "step", step.number),
        do=do,
        cautions=step_cautions(step, scope),
        measure=words(measure) if measure else (),
        question=scope.inlines(step.question) if step.question else (),
        answers=tuple(_answer(branch, scope) for branch in step.branches),
        verdict=_verdict(step, scope),
        repair=scope.inlines(step.repair) if step.repair else (),
        end=scope.inlines(step.end) if step.end else (),
    )


def _measure(step: Step, scope: Scope) -> str:
    if step.test is None:
        return ""
    meanings = {term.word: term.meaning for term in scope.book.vehicle.terms}
    return test_words(step.test, step.state, scope.harness, scope.chapter, meanings=meanings)


def _answer(branch: Branch, scope: Scope) -> Answer:
    condition = show(branch.window) if branch.window is not None else answer_words(branch.answer)
    return Answer(words(condition), branch.goto, inside(scope.code, "step", branch.goto))


def answer_words(answer: str) -> str:
    """An answer that is no reading, as printed."""
    return {"yes": "Yes", "no": "No", "else": "Any other reading"}.get(answer, answer)


def _verdict(step: Step, scope: Scope) -> Inlines:
    """What is at fault, each thing with its name: 'B5 Coolant temperature sensor'."""
    names = [_named(accused, scope) for accused in step.verdict]
    if not names:
        return ()
    joined = " or ".join(names) if step.either else ", ".join(names)
    return words(f"{joined} (this procedure cannot tell them apart)" if step.either else joined)


def _named(accused: str, scope: Scope) -> str:
    for kind in ("part", "ground"):
        name = scope.shared.names.find(kind, accused, scope.chapter)
        if name:
            return name.label
    colours = _colours(accused, scope)
    return f"wire {accused} ({colours})" if colours else accused


def _colours(circuit: str, scope: Scope) -> str:
    """The colours of a circuit: 'BU/WH', or 'Series A: BU/WH, Series B: BU/GY' where they differ."""
    by_series = {
        series: " and ".join(sorted({str(wire.colour) for wire in wiring.wires if wire.circuit == circuit}))
        for series, wiring in scope.circuits.items()
    }
    if len(set(by_series.values())) == 1:
        return next(iter(by_series.values()))
    return ", ".join(f"Series {series}: {colours or 'not fitted'}" for series, colours in by_series.items())
