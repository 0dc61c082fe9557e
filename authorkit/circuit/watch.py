"""Whether a code sets: what the module reads at its pin, against the limits of each set condition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from authorkit.circuit.expansion import own_ground
from authorkit.circuit.harness import INNER
from authorkit.circuit.measurement import Measurement, Reading, inside
from authorkit.circuit.netlist import PART_SIDE
from authorkit.circuit.states import state_name
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.specification import SetCondition, State
from authorkit.model.wiring import Wiring, applies

READERS = ("read", "differential-input")
"""The kinds of devices that give a value its name ('as')."""

_INSTRUMENTS = {"voltage": "read", "level": "read", "frequency": "hertz", "duty": "duty"}
_SETS = {"inside": "sets", "straddles": "may set", "outside": "does not set", "unknown": "not computed"}


@dataclass(frozen=True)
class Setting:
    """One set condition under one fault: `sets` is 'sets', 'may set', 'does not set' or 'not computed'.

    `state` is the name of the state it is watched in, `reading` what the module reads there; None where the condition
    is text or the value cannot be computed. Where the condition leaves open what a sensor is set to, it is watched at
    each setting that the chapter's states with the same key position name; it sets if it sets at all of them.
    """

    condition: SetCondition
    state: str
    sets: str
    reading: Reading | None = None


def setting_of(condition: SetCondition, readings: Sequence[Reading]) -> Setting:
    """One answer from what the module reads at each setting."""
    name = state_name(condition.during) if condition.during else ""
    if condition.window is None or not readings:
        return Setting(condition, name, "not computed")
    verdicts = [_SETS[inside(reading, condition.window)] for reading in readings]
    if len(set(verdicts)) == 1:
        return Setting(condition, name, verdicts[0], readings[0])
    told = next(index for index, verdict in enumerate(verdicts) if verdict != "does not set")
    sets = "not computed" if {*verdicts} <= {"does not set", "not computed"} else "may set"
    return Setting(condition, name, sets, readings[told])


def completions(chapter: Chapter, during: State, series: str) -> tuple[State, ...]:
    """The state of a condition, with the settings it leaves open taken from each named state with the same key."""
    named = [state for state in chapter.states if applies(state.series, series) and state.key in ("", during.key)]
    told = {name for name, _ in during.settings}
    found: dict[tuple[tuple[str, str], ...], State] = {}
    for state in named:
        more = tuple(setting for setting in state.settings if setting[0] not in told)
        found.setdefault(more, replace(during, settings=(*during.settings, *more)))
    fullest = max((len(more) for more in found), default=0)
    return tuple(state for more, state in found.items() if len(more) == fullest) or (during,)


def watched(wiring: Wiring, watch: str) -> Measurement | None:
    """What the module measures to get a value ('M1.ECT'): its pin against its own ground or its reference pin."""
    module, _, value = watch.partition(".")
    readers = [device for device in wiring.devices if device.kind in READERS and device.part == module]
    device = next((device for device in readers if device.values.get("as") == value), None)
    instrument = _INSTRUMENTS.get(str(device.values.get("what", "voltage"))) if device else None
    if device is None or instrument is None:
        return None
    pin, *reference = (_inside(point, wiring, module) for point in device.terminals)
    return Measurement(instrument, pin, reference[0] if reference else own_ground(module))


def _inside(point: Point, wiring: Wiring, part: str) -> str:
    """The part's side of a cavity, or a spot inside the part."""
    plug = next((connector for connector in wiring.connectors if connector.id == point.owner), None)
    if point.is_cavity:
        return f"{point}{PART_SIDE}" if plug is not None and plug.part else str(point)
    shared = {record.id for records in (wiring.splices, wiring.grounds, wiring.feeds) for record in records}
    return str(point) if point.owner in shared else f"{part}{INNER}{point.owner}"
