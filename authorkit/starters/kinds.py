"""THE table of kinds of circuits: what each needs from the book. Its chapter stands in `kinds/NAME.md`.

Adding a kind is a file there and a row here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from authorkit.starters.supply import FuseWanted

# When a fuse is live.
_ALWAYS, _KEY_ON = "always", "key on"


@dataclass(frozen=True)
class NewPlug:
    """A connector that the chapter adds to a part of the book: the placeholders and signal names of its cavities.

    `part` is 'module', 'disconnect' or 'poles' (the part where both poles of the high voltage can be reached).
    """

    part: str
    cavities: Mapping[str, str]
    location: str
    linked: bool = False  # whether a link inside the part joins the two cavities


@dataclass(frozen=True)
class Kind:
    """What a template's placeholders stand for.

    `parts` maps the placeholder of each new part onto the letters of its id, `circuits` that of each wire onto the
    letters of its circuit name. `cavities` maps the placeholder of each cavity of the module onto its signal name, in
    which placeholders of parts may stand. `tools` are keys of `tools.PURPOSES`.
    """

    name: str
    words: str
    parts: Mapping[str, str]
    circuits: Mapping[str, str]
    cavities: Mapping[str, str] = field(default_factory=dict)
    fuses: Mapping[str, FuseWanted] = field(default_factory=dict)
    plugs: tuple[NewPlug, ...] = ()
    tools: tuple[str, ...] = ("meter", "scan", "leads")
    high_voltage: bool = False
    poles_at_module: bool = False
    bus: bool = False
    load: tuple[float, float] | None = None  # resistance in ohms and its tolerance as a fraction


_HV_TOOLS = ("meter", "proof", "scan", "gloves", "face", "lock")

_KINDS = (
    Kind(
        "switch-to-ground",
        "a switch that pulls a module's signal to ground, with a resistor that proves the wire",
        parts={"switch": "SW"},
        circuits={"sig_wire": "K", "ground_wire": "Z"},
        cavities={"sig": "$switch SIG"},
    ),
    Kind(
        "switch-to-feed",
        "a switch between a fuse and a module's input",
        parts={"switch": "SW"},
        circuits={"feed_wire": "A", "sig_wire": "K"},
        cavities={"sig": "$switch SIG"},
        fuses={"fuse": FuseWanted(_ALWAYS, "10 A")},
    ),
    Kind(
        "thermistor",
        "a temperature sensor of two wires that loads a pull-up resistor of the module",
        parts={"sensor": "B"},
        circuits={"sig_wire": "K", "ret_wire": "Z"},
        cavities={"sig": "$sensor SIG", "ret": "$sensor RTN"},
    ),
    Kind(
        "three-wire-sensor",
        "a sensor with supply, signal and return, such as a pressure sensor",
        parts={"sensor": "B"},
        circuits={"sup_wire": "V", "sig_wire": "K", "ret_wire": "Z"},
        cavities={"sup": "$sensor SUPPLY", "sig": "$sensor SIG", "ret": "$sensor RTN"},
    ),
    Kind(
        "dual-track-pedal",
        "a pedal with two potentiometers that must agree",
        parts={"sensor": "B"},
        circuits={
            "first_sup_wire": "V",
            "first_sig_wire": "K",
            "first_ret_wire": "Z",
            "second_sup_wire": "V",
            "second_sig_wire": "K",
            "second_ret_wire": "Z",
        },
        cavities={
            "first_sup": "$sensor SUPPLY 1",
            "first_sig": "$sensor SIG 1",
            "first_ret": "$sensor RTN 1",
            "second_sup": "$sensor SUPPLY 2",
            "second_sig": "$sensor SIG 2",
            "second_ret": "$sensor RTN 2",
        },
    ),
    Kind(
        "relay-driven-load",
        "a motor behind a relay whose coil the module switches to ground",
        parts={"relay": "RL", "load": "MO"},
        circuits={"coil_wire": "E", "ctrl_wire": "K", "power_wire": "A", "load_wire": "A", "ground_wire": "Z"},
        cavities={"ctrl": "$relay CTRL"},
        fuses={"coil_fuse": FuseWanted(_KEY_ON, "5 A"), "power_fuse": FuseWanted(_ALWAYS, "15 A")},
        tools=("meter", "clamp", "scan", "leads"),
    ),
    Kind(
        "low-side-pwm",
        "a valve that the module switches to ground in pulses",
        parts={"valve": "Y"},
        circuits={"feed_wire": "E", "ctrl_wire": "K"},
        cavities={"ctrl": "$valve CTRL"},
        fuses={"fuse": FuseWanted(_KEY_ON, "10 A")},
        tools=("meter", "scope", "clamp", "scan", "leads"),
        load=(26.3, 0.16),
    ),
    Kind(
        "two-wire-bus",
        "a data bus of two twisted wires with a resistor at each end",
        parts={},
        circuits={},
        tools=("meter", "scope", "scan", "leads"),
        bus=True,
    ),
    Kind(
        "interlock-loop",
        "a small current through high-voltage plugs that shows whether all are closed",
        parts={},
        circuits={"first_wire": "W", "second_wire": "W", "third_wire": "W"},
        cavities={"out": "LOOP OUT", "rtn": "LOOP RTN"},
        plugs=(
            NewPlug("disconnect", {"dis_in": "LOOP IN", "dis_out": "LOOP OUT"}, "TODO loop contacts", linked=True),
            NewPlug("poles", {"part_in": "LOOP IN", "part_out": "LOOP OUT"}, "TODO loop contacts", linked=True),
        ),
        tools=_HV_TOOLS,
        high_voltage=True,
    ),
    Kind(
        "hall-speed-sensor",
        "a speed sensor with a Hall switch that pulls the module's signal to ground",
        parts={"sensor": "B"},
        circuits={"feed_wire": "E", "sig_wire": "K", "ground_wire": "Z"},
        cavities={"sig": "$sensor SIG"},
        fuses={"fuse": FuseWanted(_KEY_ON, "5 A")},
        tools=("meter", "scope", "scan", "leads"),
    ),
    Kind(
        "resolver",
        "the position sensor of a drive motor: one excited winding, two that answer",
        parts={"motor": "MG"},
        circuits={
            "exc_plus_wire": "Q",
            "exc_minus_wire": "Q",
            "sin_plus_wire": "Q",
            "sin_minus_wire": "Q",
            "cos_plus_wire": "Q",
            "cos_minus_wire": "Q",
            "drain_wire": "Q",
        },
        cavities={
            "exc_plus": "$motor EXC +",
            "exc_minus": "$motor EXC -",
            "sin_plus": "$motor SIN +",
            "sin_minus": "$motor SIN -",
            "cos_plus": "$motor COS +",
            "cos_minus": "$motor COS -",
            "drain": "$motor SHIELD",
        },
        tools=(*_HV_TOOLS, "scope"),
        high_voltage=True,
        poles_at_module=True,
    ),
    Kind(
        "motor-phases",
        "the three phases between an inverter and a drive motor",
        parts={"motor": "MG"},
        circuits={"u_wire": "H", "v_wire": "H", "w_wire": "H"},
        plugs=(NewPlug("module", {"u": "$motor U", "v": "$motor V", "w": "$motor W"}, "TODO phase connector"),),
        tools=("proof", "insulation", "milliohm", "scan", "gloves", "face", "lock"),
        high_voltage=True,
        poles_at_module=True,
    ),
)

KINDS: dict[str, Kind] = {kind.name: kind for kind in _KINDS}
