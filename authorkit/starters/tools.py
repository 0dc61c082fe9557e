"""The tools of the vehicle notebook by what they are for, found by the words of their names."""

from __future__ import annotations

from collections.abc import Iterable

from authorkit.model.vehicle import Tool
from authorkit.model.voltage_limits import RatingError, parse_meter_rating
from authorkit.starters.surroundings import Surroundings

# What a tool is for → words of which one stands in its name (common practice, from memory).
PURPOSES: dict[str, tuple[str, ...]] = {
    "meter": ("multimeter",),
    "scan": ("scan tool",),
    "scope": ("oscilloscope",),
    "clamp": ("clamp",),
    "leads": ("back-probe", "jumper"),
    "insulation": ("insulation tester",),
    "milliohm": ("low-resistance", "milliohm"),
    "gloves": ("gloves",),
    "face": ("eye protection", "face shield"),
    "lock": ("padlock", "lock-out"),
}


_MUST_BE_RATED = ("insulation", "milliohm")


def tools_for(around: Surroundings, purposes: Iterable[str]) -> tuple[str, ...]:
    """The ids of the first tool for each purpose; a purpose without a tool is left out.

    'proof' stands for the meter that the high-voltage entry names; insulation and low-resistance meters count only with
    a rating that covers high voltage.
    """
    found = (_tool_for(around, purpose) for purpose in purposes)
    return tuple(dict.fromkeys(tool for tool in found if tool))


def listed(ids: Iterable[str]) -> str:
    """Ids as a YAML list, or 'none'."""
    names = ", ".join(ids)
    return f"[{names}]" if names else "none"


def _tool_for(around: Surroundings, purpose: str) -> str | None:
    vehicle = around.book.vehicle
    if purpose == "proof":
        return next((entry.tool for entry in vehicle.high_voltage), None)
    for tool in vehicle.tools:
        fits = any(word in tool.name.lower() for word in PURPOSES[purpose])
        if fits and (purpose not in _MUST_BE_RATED or _is_rated(tool, around)):
            return tool.id
    return None


def _is_rated(tool: Tool, around: Surroundings) -> bool:
    highest = max(around.class_b.values(), default=0.0)
    try:
        return parse_meter_rating(tool.category).covers(highest)
    except RatingError:
        return False
