"""A sound vehicle would set the code."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.readings.computed import given_words
from authorkit.checks.subject import Subject
from authorkit.circuit.watch import Setting
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "healthy-sets-code"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each set condition that a sound vehicle meets, for certain or within its tolerances."""
    reported: dict[int, tuple[Setting, set[str]]] = {}
    for circuit in subject.circuits:
        if not circuit.chapter.sets_when:
            continue
        for setting in subject.study(circuit).settings[""]:
            if setting.sets in ("sets", "may set"):
                reported.setdefault(id(setting.condition), (setting, set()))[1].add(circuit.series)
    for setting, series in reported.values():
        condition, reading = setting.condition, setting.reading
        assert condition.window is not None
        assert reading is not None
        sure = "sets" if setting.sets == "sets" else "may set"
        limit = f"{condition.watch} {as_typed(condition.window)}"
        yield Problem(
            RULE,
            f"A sound vehicle {sure} the code: it sets with {limit}, and the circuit gives {given_words(reading)} in "
            f"state '{reading.state}'{subject.on_series(series)}.",
            condition.place,
            found=limit,
            expected=f"a limit that {given_words(reading)} does not reach",
            suggestion="Correct the limit, the state it is watched in, or the circuit.",
        )
