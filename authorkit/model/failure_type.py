"""Failure type byte of SAE J2012-DA: the third byte of a trouble code, in our own words.

Valid for DTC format identifier 0x04 only: older schemes of other origin look the same and mean something
else. About 100 values agree over three public tables; the standard itself was not read. 0x9A and the ranges
A0 to FF are from memory. A value that is not in the table is printed as hex and never guessed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

FailureCondition = Literal["short to ground", "short to battery", "open", "low", "high"]

CATEGORIES: Mapping[int, str] = {
    0x0: "general failure information",
    0x1: "general electrical",
    0x2: "general signal",
    0x3: "frequency or pulse width signal",
    0x4: "system internal",
    0x5: "system programming",
    0x6: "algorithm based",
    0x7: "mechanical",
    0x8: "bus signal or message",
    0x9: "component",
    0xF: "vehicle maker or supplier specific",
}

FAILURE_TYPES: Mapping[int, str] = {
    0x00: "no sub-type information",
    0x01: "general electrical failure",
    0x02: "general signal failure",
    0x03: "frequency or pulse width modulated signal failure",
    0x04: "system internal failure",
    0x05: "system programming failure",
    0x06: "algorithm based failure",
    0x07: "mechanical failure",
    0x08: "bus signal or message failure",
    0x09: "component failure",
    0x11: "circuit short to ground",
    0x12: "circuit short to battery",
    0x13: "circuit open",
    0x14: "circuit short to ground or open",
    0x15: "circuit short to battery or open",
    0x16: "circuit voltage below threshold",
    0x17: "circuit voltage above threshold",
    0x18: "circuit current below threshold",
    0x19: "circuit current above threshold",
    0x1A: "circuit resistance below threshold",
    0x1B: "circuit resistance above threshold",
    0x1C: "circuit voltage out of range",
    0x1D: "circuit current out of range",
    0x1E: "circuit resistance out of range",
    0x1F: "circuit intermittent",
    0x21: "signal amplitude below minimum",
    0x22: "signal amplitude above maximum",
    0x23: "signal stuck low",
    0x24: "signal stuck high",
    0x25: "signal shape or waveform failure",
    0x26: "signal rate of change below threshold",
    0x27: "signal rate of change above threshold",
    0x28: "signal bias level out of range or zero adjustment failure",
    0x29: "signal invalid",
    0x2A: "signal stuck in range",
    0x2B: "signal cross coupled",
    0x2F: "signal erratic",
    0x31: "no signal",
    0x32: "signal low time below minimum",
    0x33: "signal low time above maximum",
    0x34: "signal high time below minimum",
    0x35: "signal high time above maximum",
    0x36: "signal frequency too low",
    0x37: "signal frequency too high",
    0x38: "signal frequency incorrect",
    0x39: "signal has too few pulses",
    0x3A: "signal has too many pulses",
    0x41: "general checksum failure",
    0x42: "general memory failure",
    0x43: "special memory failure",
    0x44: "data memory failure",
    0x45: "program memory failure",
    0x46: "calibration or parameter memory failure",
    0x47: "watchdog or safety controller failure",
    0x48: "supervision software failure",
    0x49: "internal electronic failure",
    0x4A: "incorrect component installed",
    0x4B: "over temperature",
    0x51: "not programmed",
    0x52: "not activated",
    0x53: "deactivated",
    0x54: "missing calibration",
    0x55: "not configured",
    0x61: "signal calculation failure",
    0x62: "signal compare failure",
    0x63: "circuit or component protection time-out",
    0x64: "signal plausibility failure",
    0x65: "signal has too few transitions or events",
    0x66: "signal has too many transitions or events",
    0x67: "signal incorrect after event",
    0x68: "event information",
    0x71: "actuator stuck",
    0x72: "actuator stuck open",
    0x73: "actuator stuck closed",
    0x74: "actuator slipping",
    0x75: "emergency position not reachable",
    0x76: "wrong mounting position",
    0x77: "commanded position not reachable",
    0x78: "alignment or adjustment incorrect",
    0x79: "mechanical linkage failure",
    0x7A: "fluid leak or seal failure",
    0x7B: "low fluid level",
    0x81: "invalid serial data received",
    0x82: "alive or sequence counter incorrect or not updated",
    0x83: "value of signal protection calculation incorrect",
    0x84: "signal below allowable range",
    0x85: "signal above allowable range",
    0x86: "signal invalid",
    0x87: "missing message",
    0x88: "bus off",
    0x8F: "erratic",
    0x91: "parametric",
    0x92: "performance or incorrect operation",
    0x93: "no operation",
    0x94: "unexpected operation",
    0x95: "incorrect assembly",
    0x96: "component internal failure",
    0x97: "component or system operation obstructed or blocked",
    0x98: "component or system over temperature",
    0x9A: "component or system operating conditions",
}

FROM_MEMORY = frozenset({0x9A})
"""Values that no source seen confirms."""

EXPECTED_CONDITIONS: Mapping[int, tuple[FailureCondition, ...]] = {
    0x11: ("short to ground",),
    0x12: ("short to battery",),
    0x13: ("open",),
    0x14: ("short to ground", "open"),
    0x15: ("short to battery", "open"),
    0x16: ("low",),
    0x17: ("high",),
    0x1C: ("low", "high"),
}
"""What the circuit must show, any one of them, for an electrical failure type to be the right one.

'low' and 'high' are readings at the module against its own thresholds; the others are faults of the wiring.
"""


def failure_type_meaning(value: int) -> str | None:
    """The meaning of a failure type byte, None if the table lacks it; ValueError outside 0 to 255."""
    _require_byte(value)
    return FAILURE_TYPES.get(value)


def failure_type_category(value: int) -> str:
    """The category its high digit names, 'reserved' for A0 to EF; ValueError outside 0 to 255."""
    _require_byte(value)
    return CATEGORIES.get(value >> 4, "reserved")


def _require_byte(value: int) -> None:
    if not 0 <= value <= 0xFF:
        raise ValueError(f"failure type {value} is not a byte: expected 0 to 255")
