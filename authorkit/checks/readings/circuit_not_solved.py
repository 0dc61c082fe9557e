"""A sound circuit has no solution in some state: its sources contradict each other, or a relay never comes to rest."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.model.specification import State
from authorkit.problems import Problem

RULE = "circuit-not-solved"

_WORDS = {
    "not converged": "has no solution",
    "chatter": "never comes to rest, because something in it switches to and fro",
}


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each chapter, with every state in which some reading of the sound circuit has no answer."""
    for chapter in subject.book.chapters:
        stuck: dict[str, tuple[State, str]] = {}
        series = set[str]()
        for circuit in subject.circuits_of(chapter):
            study = subject.study(circuit)
            for (name, _), reading in study.readings[""].items():
                if reading.status in _WORDS and name in study.states:
                    stuck.setdefault(name, (study.states[name], reading.status))
                    series.add(circuit.series)
        if stuck:
            states = [state for state, _ in stuck.values()]
            status = next(iter(stuck.values()))[1]
            names = ", ".join(f"'{name}'" for name in stuck)
            yield Problem(
                RULE,
                f"The circuit of {chapter.code} {_WORDS[status]} in state {names}{subject.on_series(series)}.",
                states[0].place,
                found=next(iter(stuck)),
                expected="sources that agree, and relays that come to rest",
                suggestion="Look for two sources joined without a resistance, a jumper between two feeds, or a relay "
                "whose own contact takes the power from its coil.",
                also=tuple(dict.fromkeys(state.place for state in states[1:] if state.place != states[0].place)),
            )
