"""A meter for the high-voltage circuit is not rated for it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.safety.contact import CONTACT
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Step
from authorkit.model.vehicle import HighVoltage, Tool
from authorkit.model.voltage_limits import LEAST_CATEGORY, MeterRating, RatingError, parse_meter_rating
from authorkit.problems import Problem

RULE = "high-voltage-meter"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each entry whose meter is too weak or not rated, and each step that names such a meter.

    A rating covers a circuit with category III or higher and at least its highest voltage (IEC 61010 speaks of mains
    circuits: for a vehicle battery the category is common practice).
    """
    tools = {tool.id: tool for tool in subject.book.vehicle.tools}
    for entry in subject.book.vehicle.high_voltage:
        highest = _highest(entry, subject)
        if entry.tool in tools and highest and not _covers(tools[entry.tool], highest):
            yield _weak_entry(entry, tools[entry.tool], highest)
    for chapter in subject.book.chapters:
        for step in chapter.steps:
            volts = _measured_volts(step, chapter, subject)
            for name in step.tools if volts else ():
                if name in tools and _rating(tools[name]) is not None and not _covers(tools[name], volts):
                    yield _weak_step(chapter, step, tools[name], volts)


def _highest(entry: HighVoltage, subject: Subject) -> float:
    """The highest class B voltage in the book on the series of an entry, in volts."""
    held = subject.holds(entry)
    return max((max(subject.class_b[series].values(), default=0.0) for series in held), default=0.0)


def _measured_volts(step: Step, chapter: Chapter, subject: Subject) -> float:
    """The highest class B voltage that the leads of a step may meet, in volts; 0 if they meet none."""
    if step.test is None or step.test.kind not in (*CONTACT, "absence"):
        return 0.0
    found = [
        circuit.class_b.get(point, 0.0)
        for circuit in subject.circuits_of(chapter)
        if circuit.series in subject.holds(step)
        for point in step.test.points
    ]
    return max(found, default=0.0)


def _rating(tool: Tool) -> MeterRating | None:
    try:
        return parse_meter_rating(tool.category)
    except RatingError:
        return None


def _covers(tool: Tool, volts: float) -> bool:
    rating = _rating(tool)
    return rating is not None and rating.covers(volts)


def _expected(volts: float) -> str:
    return f"CAT {LEAST_CATEGORY} or higher with at least {volts:.0f} V"


def _weak_entry(entry: HighVoltage, tool: Tool, volts: float) -> Problem:
    rated = f"is rated {tool.category}" if tool.category else "has no rating"
    return Problem(
        RULE,
        f"The meter {tool.id} ({tool.name}) for a circuit of {volts:.0f} V {rated}.",
        entry.place,
        found=tool.category or "no category",
        expected=_expected(volts),
        suggestion="Name a tool that is good enough, or write the rating that is printed on it into 'category'.",
        also=(tool.place,),
    )


def _weak_step(chapter: Chapter, step: Step, tool: Tool, volts: float) -> Problem:
    return Problem(
        RULE,
        f"Step {step.number} uses {tool.id} ({tool.name}), rated {tool.category}, where {volts:.0f} V can be.",
        chapter.place_of(f"procedure.{step.number}.tools"),
        found=tool.category,
        expected=_expected(volts),
        suggestion="Use a meter with leads that are good enough for this circuit.",
        also=(tool.place,),
    )
