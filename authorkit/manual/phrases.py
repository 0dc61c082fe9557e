"""Facts as words: the sentences that tables, steps and captions are made of."""

from __future__ import annotations

from collections.abc import Mapping

from authorkit.circuit.harness import Harness
from authorkit.circuit.names import signal_at
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.procedure import Test
from authorkit.model.specification import INSTRUMENTS, SetCondition, State
from authorkit.units import UnitError, parse_quantity, show

_KEY_WORDS = {"off": "key off", "on": "key on", "run": "engine running", "crank": "cranking"}


def state_words(state: State) -> str:
    """A state as a phrase: 'key on, B5 unplugged, B5 at 20 °C'."""
    words = [_KEY_WORDS.get(state.key, f"key {state.key}")] if state.key else []
    if state.disconnect:
        words.append(f"service disconnect {state.disconnect}")
    if state.unplugged:
        words.append(f"{_listed(state.unplugged)} unplugged")
    words += [f"fuse {name} pulled" for name in state.pulled]
    words += [f"jumper from {a} to {b}" for a, b in state.jumpers]
    if state.battery is not None:
        words.append(f"battery at {show(state.battery)}")
    words += [_setting_words(name, value) for name, value in state.settings]
    return ", ".join(words) or "any state"


def _listed(names: tuple[str, ...]) -> str:
    """'B5', 'B5 and M1-A', 'B5, B6 and M1-A'."""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


def _setting_words(name: str, value: str) -> str:
    """'B5 at 20 °C' for a value with a unit, 'SW3 pressed' for a position."""
    try:
        return f"{name} at {show(parse_quantity(value))}"
    except UnitError:
        return f"{name} {value}"


def point_words(point: Point, harness: Harness, chapter: Chapter) -> str:
    """A point with its signal name at that end: 'M1-A.23 (ECT SIG)', 'G1 (Left strut tower)'."""
    if point.is_cavity:
        signal = signal_at(harness, point, chapter)
        return f"{point} ({signal})" if signal else str(point)
    ground = next(iter(harness.grounds.get(point.owner, ())), None)
    return f"{point} ({ground.location})" if ground and ground.location else str(point)


def between_words(at: Point, to: Point | None, harness: Harness, chapter: Chapter, *, side: str = "") -> str:
    """The two points of a measurement, or the wire that a clamp goes around; and on which side of the plug."""
    first = point_words(at, harness, chapter)
    words = f"{first} to {point_words(to, harness, chapter)}" if to else f"around the wire at {first}"
    return f"{words}, on the {side} side of the plug" if side else words


def test_words(
    test: Test,
    state: State | None,
    harness: Harness,
    chapter: Chapter,
    *,
    meanings: Mapping[str, str] | None = None,  # noqa: PT028 - these are the words of a test, not a test
) -> str:
    """What a step measures: 'Voltmeter: M1-A.23 (ECT SIG) to G1 (Left strut tower). State: key on.'

    `meanings` are those of the glossary, by word.
    """
    if test.watch:
        words = f"Scan tool: {watched_words(test.watch, harness, chapter, meanings or {})}."
    elif test.kind == "look":
        words = f"Look at: {test.subject}." if test.subject else ""
    elif test.kind == "scan":
        words = f"Scan tool: {test.subject}."
    else:
        instrument = INSTRUMENTS[test.kind][0]
        where = _where(test, harness, chapter)
        words = f"{instrument[:1].upper()}{instrument[1:]}: {where}."
    if state is not None:
        words += f" State: {state_words(state)}."
    return words.strip()


def watched_words(watch: str, harness: Harness, chapter: Chapter, meanings: Mapping[str, str]) -> str:
    """A value that a module reads, with its meaning: 'ECT (Engine coolant temperature), read by M1 at M1-A.23'."""
    module, _, value = watch.partition(".")
    devices = [device for found in harness.devices.values() for device in found if device.part == module]
    at = sorted({device.terminals[0] for device in devices if device.values.get("as") == value})
    meaning = f" ({meanings[value]})" if value in meanings else ""
    where = f" at {_listed(tuple(point_words(point, harness, chapter) for point in at))}" if at else ""
    return f"{value}{meaning}, read by {module}{where}"


def _where(test: Test, harness: Harness, chapter: Chapter) -> str:
    """One point, two points, or every pair of several (the poles and chassis)."""
    if len(test.points) > 2:
        return f"each to each of {_listed(tuple(point_words(point, harness, chapter) for point in test.points))}"
    at, *rest = test.points
    return between_words(at, rest[0] if rest else None, harness, chapter, side=test.side)


def set_condition_words(condition: SetCondition) -> str:
    """When a code sets, as one sentence without its full stop."""
    if condition.text:
        words = condition.text.rstrip(".")
    else:
        assert condition.window is not None  # the reader demands a limit beside every watched value
        module, _, value = condition.watch.partition(".")
        words = f"{module} reads {value} {show(condition.window)}"
    if condition.lasting is not None:
        words += f" for {show(condition.lasting)}"
    if condition.during is not None:
        words += f", with {state_words(condition.during)}"
    if condition.trips:
        words += ", on 1 trip" if condition.trips == "1" else f", on {condition.trips} trips in a row"
    return words
