"""Every state that a chapter speaks of, each once."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.model.chapter import Chapter
from authorkit.model.specification import State
from authorkit.problems import Place


def states_of(chapter: Chapter) -> Iterator[State]:
    """The named states, then those written where they are needed. A state used by its name stands where it is named."""
    used = [condition.during for condition in chapter.sets_when]
    used += [spec.state for spec in chapter.specs]
    used += [waveform.state for waveform in chapter.waveforms]
    used += [step.state for step in chapter.steps]
    seen: set[Place] = set()
    for state in (*chapter.states, *used):
        if state is not None and state.place not in seen:
            seen.add(state.place)
            yield state
