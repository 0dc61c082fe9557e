"""Safety messages: those that the facts call for, then the author's own, the gravest first."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.blocks import Block, CautionBlock
from authorkit.manual.scope import Scope
from authorkit.model.caution import Caution
from authorkit.model.hazard import HAZARDS, HIGH_VOLTAGE, Hazard
from authorkit.model.procedure import Step
from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.model.vehicle import HighVoltage
from authorkit.model.wiring import Part
from authorkit.problems import Problem
from authorkit.units import show

_GRAVITY = {word: position for position, word in enumerate(SIGNAL_WORDS)}


def cautions(scope: Scope) -> Iterator[Block | Problem]:
    """The messages that guard the whole chapter."""
    blocks = [_hazard_block(hazard, scope) for hazard in chapter_hazards(scope)]
    blocks += [_own_block(caution) for caution in scope.chapter.cautions if not caution.steps]
    yield from sorted(blocks, key=lambda block: _GRAVITY[block.word])


def chapter_hazards(scope: Scope) -> list[Hazard]:
    """High voltage if the circuit can carry class B, and every hazard of a part in the circuit, each once."""
    named = {name for circuit in scope.circuits.values() for part in circuit.parts for name in part.hazards}
    if scope.class_b:
        named.add(HIGH_VOLTAGE.id)
    return [hazard for name, hazard in HAZARDS.items() if name in named]


def step_cautions(step: Step, scope: Scope) -> tuple[tuple[str, str], ...]:
    """The short messages of one step, the gravest first: (signal word, sentence)."""
    short = [
        (hazard.word, _short(hazard, step, scope)) for hazard in chapter_hazards(scope) if _repeats(step, hazard, scope)
    ]
    short += [
        (caution.word, f"{caution.hazard} {caution.avoid[0]}" if caution.avoid else caution.hazard)
        for caution in scope.chapter.cautions
        if step.number in caution.steps
    ]
    return tuple(sorted(short, key=lambda item: _GRAVITY[item[0]]))


def _short(hazard: Hazard, step: Step, scope: Scope) -> str:
    """The hazard's short sentence; where test leads may meet high voltage it names the meter that is good enough."""
    tools = sorted({_tool_words(entry, scope) for entry in _entries(scope)})
    if hazard.id != HIGH_VOLTAGE.id or not tools or not touches_class_b(step, scope):
        return hazard.short
    return f"{hazard.short} Use {' or '.join(tools)}."


def touches_class_b(step: Step, scope: Scope) -> bool:
    """Whether a step puts test leads on, unplugs, or accuses something that can carry voltage of class B."""
    if step.test and any(point in scope.class_b for point in step.test.points):
        return True
    owners = {point.owner for point in scope.class_b}
    unplugged = set(step.state.unplugged) if step.state else set()
    parts = {scope_part for owner in owners if (scope_part := _owner_part(owner, scope))}
    return bool(unplugged & owners or set(step.verdict) & (owners | parts))


def _owner_part(owner: str, scope: Scope) -> str:
    connector = scope.harness.connector(owner)
    return connector.part if connector else ""


def _repeats(step: Step, hazard: Hazard, scope: Scope) -> bool:
    """High voltage is repeated at every step that touches it; another hazard at the first such step and at repairs.

    A line that stands at every step is no longer read.
    """
    if not _touches(step, hazard, scope):
        return False
    first = next(other for other in scope.chapter.steps if _touches(other, hazard, scope))
    return hazard.id == HIGH_VOLTAGE.id or step.is_end or step is first


def _touches(step: Step, hazard: Hazard, scope: Scope) -> bool:
    if hazard.id == HIGH_VOLTAGE.id and touches_class_b(step, scope):
        return True
    parts = [part for circuit in scope.circuits.values() for part in circuit.parts if hazard.id in part.hazards]
    return any(_concerns(step, part, scope) for part in parts)


def _concerns(step: Step, part: Part, scope: Scope) -> bool:
    """Whether a step measures at, unplugs or accuses a part."""
    connectors = {
        connector.id
        for circuit in scope.circuits.values()
        for connector in circuit.connectors
        if connector.part == part.id
    }
    points = {point.owner for point in step.test.points} if step.test else set()
    unplugged = set(step.state.unplugged) if step.state else set()
    return bool(connectors & (points | unplugged) or part.id in step.verdict)


def _tool_words(entry: HighVoltage, scope: Scope) -> str:
    tool = next((tool for tool in scope.book.vehicle.tools if tool.id == entry.tool), None)
    if tool is None:
        return entry.tool
    return f"{tool.name} ({tool.category})" if tool.category else tool.name


def _entries(scope: Scope) -> list[HighVoltage]:
    """What the vehicle notebook says about high voltage on the series of this page."""
    return [
        entry
        for entry in scope.book.vehicle.high_voltage
        if not entry.series or set(entry.series) & set(scope.circuits)
    ]


def _hazard_block(hazard: Hazard, scope: Scope) -> CautionBlock:
    avoid = hazard.avoid
    if hazard.id == HIGH_VOLTAGE.id:
        facts = [_entry_words(entry, scope) for entry in _entries(scope)]
        if scope.class_b:
            facts.insert(0, f"The highest nominal voltage in this circuit is {max(scope.class_b.values()):.0f}\u202fV.")
        avoid = (*avoid, *facts)
    return CautionBlock(
        hazard.word, hazard.hazard, hazard.consequence, avoid, f"{scope.code}-caution-{hazard.id.replace(' ', '-')}"
    )


def _entry_words(entry: HighVoltage, scope: Scope) -> str:
    series = scope.series_words(entry.series)
    where = f"Series {series}: " if series else ""
    return (
        f"{where}service disconnect {entry.disconnect}; waiting time {show(entry.waiting)} "
        f"(source: {entry.waiting_source}); meter {_tool_words(entry, scope)}; gloves of class {entry.gloves}."
    )


def _own_block(caution: Caution) -> CautionBlock:
    return CautionBlock(caution.word, caution.hazard, caution.consequence, caution.avoid)
