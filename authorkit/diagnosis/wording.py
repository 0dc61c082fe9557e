"""Drafted steps in words: plain commands, one a sentence, that make a state and take a reading."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.diagnosis.effort import Effort
from authorkit.model.point import Point
from authorkit.model.procedure import Test
from authorkit.model.specification import State

_QUANTITY = {"ohms": "resistance", "amps": "current", "drop": "voltage drop", "insulation": "insulation resistance"}


def done_words(states: tuple[State | None, State], test: Test, effort: Effort, key: str = "") -> str:
    """'Switch the key off. Unplug B5. Switch the key on. Measure the voltage from {cavity:B5.1} to {ground:G1}.'

    `states` are the one before and the one to make; `key` is the position that is known though no state tells it.
    """
    before, after = states
    return " ".join([*_made(before, after, effort, key), _measured(test, after, effort)])


def _made(before: State | None, after: State, effort: Effort, key: str) -> Iterator[str]:
    was = before.key if before is not None and before.key else key
    on, off = effort.off(before) - effort.off(after), effort.off(after) - effort.off(before)
    pulled = set(before.pulled if before else ()), set(after.pulled)
    handled = bool(on or off or pulled[0] ^ pulled[1])
    if was != "off" and (handled or after.key == "off"):
        yield "Switch the key off."
        was = "off"
    jumpers = set(before.jumpers if before else ())
    yield from ("Take the jumper lead out." for _ in sorted(jumpers - set(after.jumpers), key=str))
    yield from (f"Plug in {name}." for name in sorted(on))
    yield from (f"Unplug {name}." for name in sorted(off))
    yield from (f"Fit fuse {name}." for name in sorted(pulled[0] - pulled[1]))
    yield from (f"Pull fuse {name}." for name in sorted(pulled[1] - pulled[0]))
    for pair in sorted(set(after.jumpers) - jumpers, key=str):
        yield f"Bridge {pair[0]} and {pair[1]} with the fused jumper lead."
    if after.key == "on" and was != "on":
        yield "Switch the key on."
    told = dict(before.settings) if before else {}
    yield from (_set(name, word) for name, word in after.settings if told.get(name) != word)


def _set(name: str, word: str) -> str:
    module, dot, output = name.partition(".")
    if dot:
        return f"Command {output} of {module} {word} with the scan tool."
    return f"Bring {name} to {word}." if word[:1].isdigit() else f"Set {name} to {word}."


def _measured(test: Test, state: State, effort: Effort) -> str:
    what = _QUANTITY.get(test.kind, "voltage")
    if test.kind == "amps":
        return f"Clamp the wire at {_point(test.points[0])}. Measure the current."
    first, second = test.points[:2]
    off = effort.off(state)
    at = " of the harness plug" if first.owner in off and test.side != "part" else ""
    at = " of the part" if test.side == "part" else at
    return f"Measure the {what} from {_point(first)}{at} to {_point(second)}."


def _point(point: Point) -> str:
    return f"{{cavity:{point}}}" if point.is_cavity else f"{{ground:{point}}}"
