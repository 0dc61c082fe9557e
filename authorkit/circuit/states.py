"""What a state of the vehicle means for its circuits: which feeds live, which plugs are off, what is commanded."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from authorkit.circuit.netlist import Param
from authorkit.model.book import Book
from authorkit.model.specification import State
from authorkit.model.wiring import applies
from authorkit.units import Quantity, UnitError, parse_quantity, show

# Common practice for a 12 V battery where the author gives no tolerance: at rest with the key on or off, and charging.
AT_REST = Param("battery", 12.6, 12.0, 12.9)
CHARGING = Param("battery", 13.8, 13.2, 14.8)
CRANKING = Param("battery", 10.5, 9.0, 11.5)

_AWAKE = ("", "on", "run", "crank")
_BATTERY_BY_KEY = {"run": CHARGING, "crank": CRANKING}


@dataclass(frozen=True)
class Conditions:
    """A state, resolved: what the expansion of devices asks for.

    `battery` is None when the battery is disconnected. `unplugged` names connectors, `pulled` fuses, `jumpers` pairs of
    point names. `settings` maps a part, a device or an output to its word.
    """

    key: str = "on"
    battery: Param | None = AT_REST
    unplugged: frozenset[str] = frozenset()
    pulled: frozenset[str] = frozenset()
    jumpers: tuple[tuple[str, str], ...] = ()
    settings: Mapping[str, str] = field(default_factory=dict)

    @property
    def awake(self) -> bool:
        """Whether the modules work: the key is on, or no key position is told."""
        return self.key in _AWAKE

    def live(self, when: str) -> bool:
        """Whether a feed that is live 'always', 'key on', 'crank' or 'high voltage on' is live now."""
        if when == "crank":
            return self.key == "crank"
        if when == "high voltage on":
            return self.key == "run"
        return when == "always" or self.awake


def conditions_of(book: Book, state: State, series: str) -> Conditions:
    """Resolve a state on one series: the service disconnect takes all plugs of its part with it."""
    plugs = plugs_of(book)
    unplugged = set(state.unplugged)
    if state.disconnect == "open":
        pulled = {record.disconnect for record in book.vehicle.high_voltage if applies(record.series, series)}
        unplugged |= {name for name, part in plugs.items() if part in pulled}
    batteries = {device.part for wiring in book.wirings for device in wiring.devices if device.kind == "battery"}
    battery_off = any(plugs.get(name) in batteries for name in unplugged)
    return Conditions(
        key=state.key,
        battery=None if battery_off else battery_of(book, state),
        unplugged=frozenset(unplugged),
        pulled=frozenset(state.pulled),
        jumpers=tuple((str(first), str(second)) for first, second in state.jumpers),
        settings=dict(state.settings),
    )


def plugs_of(book: Book) -> dict[str, str]:
    """The part that each connector is plugged into, as the first notebook says that says it."""
    plugs: dict[str, str] = {}
    for wiring in book.wirings:
        for connector in wiring.connectors:
            if connector.part:
                plugs.setdefault(connector.id, connector.part)
    return plugs


def battery_of(book: Book, state: State) -> Param:
    """The battery voltage in this state: as the state says, else as the vehicle says, else by the key."""
    if state.battery is not None:
        return _as_param(state.battery, None)
    usual = _BATTERY_BY_KEY.get(state.key)
    if usual is not None or book.vehicle.battery is None:
        return usual or AT_REST
    return _as_param(book.vehicle.battery, AT_REST)


def _as_param(volts: Quantity, usual: Param | None) -> Param:
    """A battery voltage with its own tolerance, or with the width of the usual range around its nominal value."""
    low, high = volts.low, volts.high
    if usual is not None and low == high:
        low, high = volts.base + usual.low - usual.nominal, volts.base + usual.high - usual.nominal
    return Param("battery", volts.base, low, high)


_RATE = re.compile(r"\d.*Hz\Z")


@dataclass(frozen=True)
class Phase:
    """One half of a state that switches to and fro: the share of the time it takes, and the fixed state."""

    share: float
    state: State


def phases_of(state: State) -> tuple[Phase, ...]:
    """A pulsed output ('M1.FAN: 40 %') or a turning sensor ('B9: 120 Hz') as two fixed states in turn.

    A reading is the average of the two, as a d.c. meter shows it. A percentage of a name without a dot is the travel
    of a pedal or a pressure, not a duty cycle. With several pulsed things the first one sets the beat.
    """
    for index, (name, word) in enumerate(state.settings):
        pair = _pulsed(name, word)
        if pair:
            share, high, low = pair
            return tuple(
                Phase(part, replace(state, settings=_with(state.settings, index, value)))
                for part, value in ((share, high), (1 - share, low))
            )
    return (Phase(1.0, state),)


def frequency_of(state: State) -> float | None:
    """The rate in hertz that the state gives to a turning sensor, or None."""
    rates = [parse_quantity(word, "frequency").base for _, word in state.settings if _RATE.match(word)]
    return rates[0] if rates else None


def share_of(word: str) -> float | None:
    """'25 %' as 0.25, or None for another word."""
    if not word.endswith("%"):
        return None
    try:
        return parse_quantity(word, "ratio").base
    except UnitError:
        return None


def _pulsed(name: str, word: str) -> tuple[float, str, str] | None:
    if _RATE.match(word):
        return 0.5, "high", "low"
    share = share_of(word)
    return (share, "on", "off") if share is not None and "." in name else None


def _with(settings: tuple[tuple[str, str], ...], index: int, word: str) -> tuple[tuple[str, str], ...]:
    return (*settings[:index], (settings[index][0], word), *settings[index + 1 :])


def state_name(state: State) -> str:
    """The name of a state, or for one without a name what it says: 'key off, unplug B5, B5 20 °C'."""
    if state.name:
        return state.name
    words = [f"key {state.key}"] if state.key else []
    if state.disconnect:
        words.append(f"disconnect {state.disconnect}")
    words += [f"unplug {name}" for name in state.unplugged]
    words += [f"pull {name}" for name in state.pulled]
    words += [f"jumper {first}-{second}" for first, second in state.jumpers]
    words += [f"battery {show(state.battery)}"] if state.battery else []
    words += [f"{name} {word}" for name, word in state.settings]
    return ", ".join(words) or "as found"
