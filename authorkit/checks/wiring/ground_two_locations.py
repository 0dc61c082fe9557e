"""Two notebooks put one ground point at different places, or give it a different bolt or torque."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject
from authorkit.model.wiring import Ground
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "ground-two-locations"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further location, bolt or torque."""
    for name, grounds in subject.harness.grounds.items():
        for what, said in _facts(grounds).items():
            for found in contradictions(said, subject):
                yield Problem(
                    RULE,
                    f"The {what} of the ground point {name} is '{found.later}' here and '{found.earlier}' "
                    f"in {found.earlier_place}.",
                    found.place,
                    found=found.later,
                    expected=found.earlier,
                    suggestion="Describe the ground point once, best in the vehicle notebook.",
                    also=found.also,
                )


def _facts(grounds: tuple[Ground, ...]) -> dict[str, list[tuple[str, Ground]]]:
    return {
        "location": [(ground.location, ground) for ground in grounds if ground.location],
        "bolt": [(ground.bolt, ground) for ground in grounds if ground.bolt],
        "torque": [(as_typed(ground.torque), ground) for ground in grounds if ground.torque is not None],
    }
