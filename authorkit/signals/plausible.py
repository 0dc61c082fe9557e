"""What a described bus signal must keep to, by the standard of its physical layer.

Sources: ISO 11898-2 (outputs of a high-speed transceiver: recessive 2.0 to 3.0 V; dominant high wire 2.75 to 4.5 V, low
wire 0.5 to 2.25 V, difference 1.5 to 3.0 V; bit rates up to 5 Mbit/s, 8 Mbit/s with the enhanced transceivers), ISO
17987-4 (receivers: dominant below 40 %, recessive above 60 % of the supply; 1 to 20 kbit/s), SAE J2716 (tick 3 to
90 µs; outputs below 0.5 V and above 4.1 V; one status nibble, one to six of data, one checksum, tick tolerance left
out). The figures are from memory; those of SENT and the bit rate of LIN were seen confirmed in public summaries.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from authorkit.model.specification import Waveform
from authorkit.units import Quantity, format_value

_CAN, _LIN, _SENT = "ISO 11898-2", "ISO 17987-4", "SAE J2716"


@dataclass(frozen=True)
class Doubt:
    """A value beyond its standard: its name among the waveform's values, what it is, what the standard allows."""

    name: str
    found: str
    expected: str
    source: str


@dataclass(frozen=True)
class _Range:
    """Base units, both ends included; the ends of a range of a supply are shares of it."""

    name: str
    low: float
    high: float
    dimension: str
    of_supply: bool = False


_ANY = float("inf")
_RANGES: Mapping[str, tuple[str, tuple[_Range, ...]]] = {
    "two-wire-bus": (
        _CAN,
        (
            _Range("recessive", 2.0, 3.0, "voltage"),
            _Range("dominant-high", 2.75, 4.5, "voltage"),
            _Range("dominant-low", 0.5, 2.25, "voltage"),
            _Range("bit-time", 1 / 8e6, _ANY, "time"),
        ),
    ),
    "one-wire-bus": (
        _LIN,
        (
            _Range("low", 0.0, 0.4, "voltage", of_supply=True),
            _Range("high", 0.6, 1.0, "voltage", of_supply=True),
            _Range("bit-time", 1 / 20e3, 1 / 1e3, "time"),
        ),
    ),
    "sent": (
        _SENT,
        (
            _Range("tick", 3e-6, 90e-6, "time"),
            _Range("low", 0.0, 0.5, "voltage"),
            _Range("high", 4.1, 5.5, "voltage"),
        ),
    ),
}
# Rounding of decimal values must not count.
_SLACK = 1e-9


def doubts(waveform: Waveform, battery: float) -> Iterator[Doubt]:
    """The values of a described bus signal that its standard does not allow; `battery` in V is the supply."""
    source, ranges = _RANGES.get(waveform.shape, ("", ()))
    given = {name: value.base for name, value in waveform.values if isinstance(value, Quantity)}
    for each in ranges:
        share = battery if each.of_supply else 1.0
        value = given.get(each.name)
        if value is not None and not each.low * share - _SLACK * share <= value <= each.high * share * (1 + _SLACK):
            yield Doubt(each.name, format_value(value, each.dimension), _words(each, share), source)
    more = _MORE.get(waveform.shape)
    if more is not None:
        yield from more(waveform, given)


def _words(each: _Range, share: float) -> str:
    low = format_value(each.low * share, each.dimension)
    if each.high == _ANY:
        return f"at least {low}"
    supply = f" (of a supply of {format_value(share, 'voltage')})" if each.of_supply else ""
    return f"{low} to {format_value(each.high * share, each.dimension)}{supply}"


def _difference(_: Waveform, given: Mapping[str, float]) -> Iterator[Doubt]:
    high, low = given.get("dominant-high"), given.get("dominant-low")
    if high is not None and low is not None and not 1.5 - _SLACK <= high - low <= 3.0 + _SLACK:
        found = f"{format_value(high - low, 'voltage')} between both wires"
        yield Doubt("dominant-high", found, "1.5 V to 3 V between both wires", _CAN)


def _nibbles(waveform: Waveform, _: Mapping[str, float]) -> Iterator[Doubt]:
    written = next((value for name, value in waveform.values if name == "nibbles" and isinstance(value, str)), "")
    count = len(written.split())
    if written and not 3 <= count <= 8:
        yield Doubt("nibbles", f"{count} nibbles", "status, one to six of data, checksum: 3 to 8 nibbles", _SENT)


_MORE: Mapping[str, Callable[[Waveform, Mapping[str, float]], Iterator[Doubt]]] = {
    "two-wire-bus": _difference,
    "sent": _nibbles,
}
