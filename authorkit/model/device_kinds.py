"""THE table of devices: the vocabulary of `inside:` lists.

Adding a device is a row here, a file in `circuit/devices/` (how it behaves), and a row in `drawing/symbols.py` if it
needs a symbol of its own. An author writes `{kind: [terminals], value: ...}`.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ValueKey:
    """A value that a device may carry.

    `takes` is a dimension of `units.DIMENSIONS`, or 'text', 'point', 'rail' (a voltage or a point), 'choice:a|b',
    'table:temperature:resistance' (pairs of quantities) or 'table:text:resistance' (named positions).
    """

    name: str
    takes: str
    help: str
    example: str
    required: bool = False


@dataclass(frozen=True)
class DeviceKind:
    """One kind of device. `terminals` names its points in the order in which they are written."""

    name: str
    words: str
    terminals: tuple[str, ...]
    values: tuple[ValueKey, ...] = ()
    more_terminals: bool = False
    optional_terminals: int = 0


def _r(help_text: str = "resistance", example: str = "120 Ω ± 5 %", *, required: bool = True) -> ValueKey:
    return ValueKey("r", "resistance", help_text, example, required)


_VOLTS = ValueKey("volts", "voltage", "nominal voltage", "12 V", True)
_NAME = ValueKey("label", "text", "short text printed at the symbol", "t")
_RETURN = ValueKey(
    "return", "point", "the ground cavity it works against; if left out, the module's own ground", "M1-A.2"
)
_OUTPUT = ValueKey("command", "text", "name of the commanded output, used in states", "FAN")

_KINDS = (
    DeviceKind("resistor", "resistor", ("a", "b"), (_r(), _NAME)),
    DeviceKind("heater", "heater", ("a", "b"), (_r("resistance when hot", "2.4 Ω"), _NAME)),
    DeviceKind("solenoid", "solenoid", ("a", "b"), (_r("winding resistance at 20 °C", "26 Ω ± 5 %"), _NAME)),
    DeviceKind("winding", "winding", ("a", "b"), (_r("winding resistance at 20 °C", "32 Ω ± 10 %"), _NAME)),
    DeviceKind(
        "lamp",
        "lamp",
        ("a", "b"),
        (
            _VOLTS,
            ValueKey("watts", "power", "power at nominal voltage", "21 W", True),
            ValueKey("cold", "resistance", "resistance of the cold filament", "0.6 Ω"),
        ),
    ),
    DeviceKind("diode", "diode", ("anode", "cathode"), (ValueKey("drop", "voltage", "forward voltage", "0.7 V"),)),
    DeviceKind(
        "led",
        "light-emitting diode",
        ("anode", "cathode"),
        (ValueKey("drop", "voltage", "forward voltage", "2 V", True),),
    ),
    DeviceKind(
        "thermistor",
        "thermistor",
        ("a", "b"),
        (
            ValueKey("r25", "resistance", "resistance at 25 °C", "2.05 kΩ ± 2 %"),
            ValueKey("beta", "temperature difference", "beta value (in K)", "3400 K"),
            ValueKey(
                "table", "table:temperature:resistance", "resistance at temperatures", "{20 °C: 2.5 kΩ, 90 °C: 250 Ω}"
            ),
        ),
    ),
    DeviceKind(
        "potentiometer",
        "potentiometer",
        ("high", "wiper", "low"),
        (
            _r("track resistance", "4 kΩ ± 20 %"),
            ValueKey("travel", "text", "wiper range from low end", "10 % to 90 %"),
            ValueKey("series-r", "resistance", "resistor in series with the wiper", "1 kΩ"),
        ),
    ),
    DeviceKind(
        "switch",
        "switch",
        ("a", "b"),
        (
            ValueKey("normally", "choice:open|closed", "position at rest", "open", True),
            ValueKey("works-by", "text", "what operates it", "brake pedal"),
        ),
    ),
    DeviceKind(
        "ladder-switch",
        "resistor-ladder switch",
        ("a", "b"),
        (
            ValueKey(
                "positions", "table:text:resistance", "resistance in each position", "{up: 330 Ω, off: 2.2 kΩ}", True
            ),
        ),
    ),
    DeviceKind("selector", "multi-position switch", ("common", "first"), (), more_terminals=True),
    DeviceKind(
        "coil",
        "relay coil",
        ("a", "b"),
        (
            _r("coil resistance", "85 Ω ± 10 %"),
            ValueKey("pull-in", "voltage", "voltage that pulls the contact in", "7 V"),
            ValueKey("drop-out", "voltage", "voltage at which it drops out", "2 V"),
            ValueKey("clamp", "choice:none|diode|resistor", "how the coil's kick is clamped", "resistor"),
            ValueKey("clamp-r", "resistance", "clamp resistor", "680 Ω"),
        ),
    ),
    DeviceKind(
        "contact",
        "relay contact",
        ("common", "make", "break"),
        (
            ValueKey("works-by", "text", "the relay that moves it, if not its own part", "K5"),
            ValueKey("normally", "choice:open|closed", "position at rest of a two-point contact", "open"),
        ),
        optional_terminals=1,
    ),
    DeviceKind(
        "fuse",
        "fuse",
        ("feed", "load"),
        (
            ValueKey("rating", "current", "rated current", "10 A", True),
            ValueKey("id", "text", "fuse number", "F21", True),
        ),
    ),
    DeviceKind(
        "motor",
        "motor",
        ("plus", "minus"),
        (
            _r("winding resistance, stalled", "0.35 Ω"),
            ValueKey("running", "current", "current when running free", "14 A"),
            _NAME,
        ),
    ),
    DeviceKind(
        "motor-3", "three-phase motor", ("u", "v", "w"), (_r("resistance between two phases", "24 mΩ ± 10 %"), _NAME)
    ),
    DeviceKind("hall-switch", "Hall switch, open collector", ("supply", "output", "ground"), ()),
    DeviceKind(
        "hall-linear",
        "linear Hall sensor",
        ("supply", "output", "ground"),
        (ValueKey("span", "text", "output range as part of the supply", "10 % to 90 %"),),
    ),
    DeviceKind(
        "current-sensor",
        "two-wire current sensor",
        ("plus", "minus"),
        (
            ValueKey("low", "current", "current at low level", "7 mA", True),
            ValueKey("high", "current", "current at high level", "14 mA", True),
        ),
    ),
    DeviceKind(
        "transducer",
        "three-wire sensor",
        ("supply", "output", "ground"),
        (
            ValueKey("quantity", "text", "what it measures", "p / U", True),
            ValueKey("span", "text", "output at the ends of its range", "0.5 V to 4.5 V"),
        ),
    ),
    DeviceKind("battery", "battery", ("plus", "minus"), (_VOLTS, _r("internal resistance", "8 mΩ", required=False))),
    DeviceKind("converter", "d.c./d.c. converter", ("input plus", "input minus", "output"), (_VOLTS,)),
    DeviceKind(
        "pack", "high-voltage battery", ("plus", "minus"), (_VOLTS, _r("internal resistance", "80 mΩ", required=False))
    ),
    DeviceKind("isolation", "isolation resistance to chassis", ("a",), (_r("isolation resistance", "2 MΩ"),)),
    DeviceKind(
        "contactor", "contactor contact", ("a", "b"), (ValueKey("works-by", "text", "the coil that moves it", "K10"),)
    ),
    DeviceKind(
        "pull-up",
        "pull-up resistor",
        ("pin",),
        (_r("resistance", "2.49 kΩ ± 1 %"), ValueKey("to", "rail", "supply it goes to", "5 V", True)),
    ),
    DeviceKind(
        "pull-down",
        "pull-down resistor",
        ("pin",),
        (_r("resistance", "220 kΩ ± 5 %"), ValueKey("to", "point", "ground cavity it goes to", "M1-A.41")),
    ),
    DeviceKind("clamp", "input protection", ("pin",), (ValueKey("to", "rail", "supply it clamps to", "5 V"),)),
    DeviceKind(
        "read",
        "value that the module reads",
        ("pin", "reference"),
        (
            ValueKey("as", "text", "name of the value", "ECT", True),
            ValueKey("what", "choice:voltage|current|frequency|duty|level", "what is read", "voltage"),
        ),
        optional_terminals=1,
    ),
    DeviceKind(
        "low-side",
        "low-side driver",
        ("pin",),
        (
            _r("resistance when on", "0.3 Ω", required=False),
            _OUTPUT,
            _RETURN,
            ValueKey("pwm", "frequency", "switching frequency, if pulsed", "100 Hz"),
        ),
    ),
    DeviceKind(
        "high-side",
        "high-side driver",
        ("pin",),
        (
            _r("resistance when on", "0.1 Ω", required=False),
            _OUTPUT,
            ValueKey("to", "rail", "supply it switches", "M1-A.1"),
            ValueKey("pwm", "frequency", "switching frequency, if pulsed", "100 Hz"),
        ),
    ),
    DeviceKind(
        "half-bridge",
        "half bridge",
        ("pin",),
        (
            _r("resistance when on", "0.2 Ω", required=False),
            _OUTPUT,
            _RETURN,
            ValueKey("to", "rail", "supply it switches", "M1-A.1"),
        ),
    ),
    DeviceKind("inverter-phase", "inverter phase", ("phase", "plus", "minus"), (_OUTPUT,)),
    DeviceKind(
        "reference",
        "sensor supply",
        ("pin",),
        (_VOLTS, ValueKey("limit", "current", "current limit", "50 mA"), _RETURN),
    ),
    DeviceKind(
        "module-ground",
        "ground inside the module",
        ("pin",),
        (ValueKey("through", "point", "the cavity or ground point it reaches", "M1-A.2"),),
    ),
    DeviceKind(
        "module-supply", "supply of the module", ("pin",), (ValueKey("draws", "current", "current it draws", "0.4 A"),)
    ),
    DeviceKind("link", "internal link", ("a", "b"), (_r("resistance", "5 mΩ", required=False),), more_terminals=True),
    DeviceKind("transceiver", "bus driver", ("high", "low"), (_NAME, _RETURN)),
    DeviceKind("bus-node", "one-wire bus driver", ("pin",), (_NAME, _RETURN)),
    DeviceKind("terminator", "bus terminating resistor", ("high", "low"), (_r("resistance", "120 Ω ± 1 %"),)),
    DeviceKind(
        "loop-source", "interlock loop source", ("out", "return"), (_VOLTS, _r("series resistance", "1 kΩ ± 1 %"))
    ),
    DeviceKind(
        "excitation",
        "resolver excitation",
        ("plus", "minus"),
        (
            ValueKey("volts", "voltage", "amplitude, r.m.s.", "7 V", True),
            ValueKey("frequency", "frequency", "excitation frequency", "10 kHz", True),
        ),
    ),
    DeviceKind(
        "differential-input",
        "differential input",
        ("plus", "minus"),
        (ValueKey("as", "text", "name of the value", "SIN"), _r("input resistance", "50 kΩ", required=False)),
    ),
    DeviceKind(
        "block",
        "block",
        ("a",),
        (ValueKey("label", "text", "text in the block", "Charger", True),),
        more_terminals=True,
    ),
)

DEVICE_KINDS: dict[str, DeviceKind] = {kind.name: kind for kind in _KINDS}
