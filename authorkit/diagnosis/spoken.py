"""What the words of the steps do to the vehicle: which plugs they take off, whether the key is on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from authorkit.diagnosis.effort import Effort
from authorkit.model.procedure import Step
from authorkit.model.specification import State

_SENTENCE = re.compile(
    r"(?<=[.!?;])\s+|,\s+then\s+|\s+and\s+(?=(?:un)?plug|pull|fit|switch|connect|disconnect)", re.IGNORECASE
)
_NAME = re.compile(r"\{\w+:([^{}]+)\}|[A-Za-z0-9+][\w+.-]*")
_OFF = re.compile(r"\b(unplug|disconnect|pull|take (off|out)|remove)\b", re.IGNORECASE)
_ON = re.compile(r"\b(plug (in|back)|reconnect|connect|fit|refit|insert)\b", re.IGNORECASE)
_EVERY = re.compile(r"\b(every|all)\b.*\b(connectors?|plugs?)\b|\bplug everything\b", re.IGNORECASE)
_KEY = re.compile(r"\bkey\b(?: is)?(?: still)? (on|off)\b|\bkey (on|off)\b", re.IGNORECASE)
_RUNS = re.compile(r"\b(start|run)\b.*\b(engine|drive)\b|\bkey\b.*\b(run|start)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Made:
    """What the words on a way have made of the vehicle: names of connectors and fuses that are off, and the key."""

    off: frozenset[str] = frozenset()
    key: str = ""


@dataclass(frozen=True)
class Unmade:
    """A demand of a step's state that the words on a way do not make: 'B5 unplugged', and the way."""

    step: str
    demand: str
    way: tuple[str, ...]


def unmade(steps: Mapping[str, Step], effort: Effort, fuses: frozenset[str]) -> Iterator[Unmade]:
    """Every demand that some way does not make; each once, with the shortest such way.

    Only the plugs, the fuses and a key that is on or off are followed: they are what words can be held to.
    """
    named = {name: (name,) for step in steps.values() if step.state is not None for name in step.state.unplugged}
    effort = replace(effort, plugs={**named, **effort.plugs})
    first = next(iter(steps), None)
    queue: list[tuple[str, Made, tuple[str, ...]]] = [(first, Made(), ())] if first is not None else []
    seen, told = set(), set()
    while queue:
        number, made, way = queue.pop(0)
        step = steps.get(number)
        if step is None or (number, made) in seen:
            continue
        seen.add((number, made))
        after, here = after_words(step.do, made, effort, fuses), (*way, number)
        for demand in _missing(step.state, after, effort, fuses) if step.state is not None else ():
            if (number, demand) not in told:
                told.add((number, demand))
                yield Unmade(number, demand, here)
        held = _held(step.state, after, effort) if step.state is not None else after
        queue += [(branch.goto, held, here) for branch in step.branches]


def after_words(text: str, made: Made, effort: Effort, fuses: frozenset[str]) -> Made:
    """What a text makes of the vehicle, sentence by sentence."""
    off, key = set(made.off), made.key
    for sentence in _SENTENCE.split(text):
        turned = _KEY.search(sentence)
        if turned:
            key = (turned[1] or turned[2]).lower()
        elif _RUNS.search(sentence):
            key = "run"
        named = {each for name in _names(sentence) for each in _things(name, effort, fuses)}
        if _EVERY.search(sentence) and _ON.search(sentence):
            off.clear()
        elif _OFF.search(sentence):
            off |= named
        elif _ON.search(sentence):
            off -= named
    return Made(frozenset(off), key)


def _names(sentence: str) -> Iterator[str]:
    for match in _NAME.finditer(sentence):
        yield match[1] or match[0].rstrip(".")


def _things(name: str, effort: Effort, fuses: frozenset[str]) -> tuple[str, ...]:
    """The connectors or the fuse that a name stands for; nothing for another word."""
    if name in effort.plugs:
        return effort.plugs[name]
    return (name,) if name in fuses else ()


def _missing(state: State, made: Made, effort: Effort, fuses: frozenset[str]) -> Iterator[str]:
    disconnect = set(effort.disconnect) if state.disconnect == "open" else set()
    wanted = effort.off(state) - disconnect
    yield from (f"{name} unplugged" for name in sorted(wanted - made.off))
    yield from (f"fuse {name} pulled" for name in sorted(set(state.pulled) - made.off))
    still = made.off - wanted - disconnect - set(state.pulled)
    yield from (f"fuse {name} fitted" if name in fuses else f"{name} plugged in" for name in sorted(still))
    if state.key in ("on", "off") and made.key in ("on", "off", "") and state.key != made.key:
        yield f"the key {state.key}"


def _held(state: State, made: Made, effort: Effort) -> Made:
    """What a step leaves: its state as it says, so that one slip is told once."""
    disconnect = set(effort.disconnect) if state.disconnect == "open" else set()
    off = effort.off(state) - disconnect
    return Made(frozenset(off | set(state.pulled)), state.key or made.key)
