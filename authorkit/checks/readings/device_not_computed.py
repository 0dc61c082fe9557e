"""A device cannot be computed in a state in which something is measured: nothing near it is checked there."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.circuit.netlist import Gap
from authorkit.circuit.readings import Reading
from authorkit.problems import Problem

RULE = "device-not-computed"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each device of a chapter, with the first state in which it is missing."""
    for chapter in subject.book.chapters:
        missing: dict[tuple[object, str], tuple[Gap, str, set[str]]] = {}
        for circuit in subject.circuits_of(chapter):
            study = subject.study(circuit)
            lost = {name for (name, _), reading in study.readings[""].items() if _is_lost(reading)}
            for name in sorted(lost):
                for gap in study.gaps.get(name, ()):
                    key = (gap.place, gap.because)
                    missing.setdefault(key, (gap, name, set()))[2].add(circuit.series)
        for gap, name, series in missing.values():
            yield Problem(
                RULE,
                f"{str(gap)[:-1]} in state '{name}' of {chapter.code}{subject.on_series(series)}.",
                gap.place,
                found=name,
                expected="a state, or a value of the device, that tells what it is set to",
                suggestion=f"Add what {gap.part} is set to, such as '{gap.part}: 20 °C', '25 %' or 'closed'.",
            )


def _is_lost(reading: Reading) -> bool:
    """Whether a number is missing; what a trace looks like is told by a waveform."""
    return reading.status == "undetermined" and reading.measurement.instrument != "scope"
