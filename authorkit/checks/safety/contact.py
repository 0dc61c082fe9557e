"""Which steps bring a hand or a test lead to a circuit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from authorkit.model.point import Point
from authorkit.model.procedure import Step

# Instruments whose leads touch the circuit. A clamp goes around the insulation; 'absence' is the proof itself.
CONTACT = frozenset({"volts", "drop", "ohms", "hertz", "duty", "lamp", "insulation", "scope"})


def touched(step: Step, class_b: Mapping[Point, float], disconnects: frozenset[str]) -> Iterator[tuple[str, float]]:
    """What of class B a step touches, in words ('measures ohms at M5-P.1'), and how many volts it can carry.

    `disconnects` names the service disconnects with their connectors: to unplug one is how a circuit is made dead.
    """
    if step.test is not None and step.test.kind in CONTACT:
        for point in step.test.points:
            if point in class_b:
                yield f"measures {step.test.kind} at {point}", class_b[point]
    for connector in step.state.unplugged if step.state is not None else ():
        volts = [volts for point, volts in class_b.items() if point.owner == connector]
        if volts and connector not in disconnects:
            yield f"unplugs {connector}", max(volts)
    for pair in step.state.jumpers if step.state is not None else ():
        for point in pair:
            if point in class_b:
                yield f"puts a jumper wire at {point}", class_b[point]
