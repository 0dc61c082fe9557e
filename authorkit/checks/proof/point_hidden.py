"""A test lead is to be put where nobody can reach: into a plugged connector without back-probing, or into a splice."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from authorkit.checks.proof.gathered import gathered
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.problems import Problem

RULE = "point-hidden"

# Instruments that need metal; a clamp goes around the insulation, and an absence test has its own sockets.
_CONTACT = frozenset({"volts", "drop", "ohms", "hertz", "duty", "lamp", "insulation", "scope"})


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such step."""
    for chapter, number, entry, where in gathered(subject, lambda proof: _hidden(proof, subject.harness.splices)):
        step = chapter.step(number)
        kind = step.test.kind if step is not None and step.test is not None else "do"
        yield Problem(
            RULE,
            f"In step {number} the meter cannot reach {entry.listed()}{where}.",
            chapter.place_of(f"procedure.{number}.{kind}"),
            found=entry.listed(),
            expected="a cavity of an unplugged connector, of one that may be back-probed, or a ground point",
            suggestion="Unplug the connector in 'state' and 'do', or measure at another connector of the same wire.",
        )


def _hidden(proof: Proof, splices: Collection[str]) -> Iterator[tuple[str, str]]:
    plugs = {connector.id: connector for connector in proof.wiring.connectors}
    for number, step in proof.steps.items():
        for point in step.test.points if step.test is not None and step.test.kind in _CONTACT else ():
            plug = plugs.get(point.owner)
            if point.owner in splices:
                yield number, f"{point}, a splice inside the harness"
            if plug is not None and not plug.back_probe and plug.id not in proof.procedure.effort.off(step.state):
                yield number, f"{point}, as {plug.id} is plugged in and cannot be back-probed"
