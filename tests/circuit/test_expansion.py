"""From wiring and state to a netlist."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

from authorkit.circuit.devices import EXPANSIONS
from authorkit.circuit.expansion import expand
from authorkit.circuit.netlist import Netlist
from authorkit.circuit.solve import Meter, islands, settle, solve
from authorkit.circuit.states import Conditions
from authorkit.circuit.view import circuit_of
from authorkit.model.book import Book
from authorkit.model.device_kinds import DEVICE_KINDS

VEHICLE = """
feeds: {B+: {name: Battery, live: always}, IGN: {name: Ignition, live: key on}}
grounds: {G1: {location: Strut}}
"""
# One device between a fed cavity and a grounded one; cavity 3 is its third terminal, loaded with 10 kΩ to ground.
CIRCUIT = """
circuit:
  parts:
    B1: {name: Part, connectors: {B1: {"1": PLUS, "2": MINUS, "3": OUT}}, inside: [DEVICE]}
    R1: {name: Load, connectors: {R1: {"1": A, "2": B}}, inside: [{resistor: [R1.1, R1.2], r: 10 kΩ}]}
    M1: {name: Module, kind: module, connectors: {M1-A: {"1": GND}}}
  connectors: {X1: {rows: ["1 2"], in-line: yes}}
  wires:
    - [B+, K1 RD 0.5 mm2 1 m, X1.1, K1 RD 0.5 mm2 1 m, B1.1]
    - [B1.2, K2 BN 0.5 mm2 1 m, G1]
    - [B1.3, K3 BU 0.5 mm2 1 m, R1.1]
    - [R1.2, K4 BN 0.5 mm2 1 m, G1]
    - [M1-A.1, K5 BN 0.5 mm2 1 m, G1]
"""
LIVE = Conditions()


@pytest.fixture
def net(book_of: Callable[..., Book]) -> Callable[..., Netlist]:
    def make(device: str, state: Conditions = LIVE) -> Netlist:
        book = book_of(VEHICLE, P0118=CIRCUIT.replace("DEVICE", device))
        return settle(expand(circuit_of(book, book.chapters[0], "A"), state)).netlist

    return make


def volts(netlist: Netlist, at: str, to: str = "G1") -> float:
    return float(solve(netlist, [Meter(at, to, 10e6)]).meters[0, 0])


def amps(netlist: Netlist) -> float:
    return abs(float(solve(netlist).amps("contact:B1.1")[0]))


def with_word(word: str, **more: object) -> Conditions:
    return Conditions(settings={"B1": word}, **more)  # type: ignore[arg-type]


def test_every_kind_of_device_has_an_expansion() -> None:
    assert set(EXPANSIONS) == set(DEVICE_KINDS)


# Device, word of the state, current at 12.6 V from the battery in A, by Ohm's law; wires and contacts are 131 mΩ.
CURRENTS = [
    ("{resistor: [B1.1, B1.2], r: 120 Ω}", "", 0.105),
    ("{heater: [B1.1, B1.2], r: 2.4 Ω}", "", 12.6 / 2.5309),
    ("{solenoid: [B1.1, B1.2], r: 26 Ω}", "", 0.483),
    ("{winding: [B1.1, B1.2], r: 32 Ω}", "", 0.393),
    ("{motor: [B1.1, B1.2], r: 0.35 Ω, running: 14 A}", "", 12.6 / 1.0309),
    ("{lamp: [B1.1, B1.2], volts: 12 V, watts: 21 W}", "", 1.82),
    ("{switch: [B1.1, B1.2], normally: open}", "", 0.0),
    ("{ladder-switch: [B1.1, B1.2], positions: {up: 330 Ω, off: 2.2 kΩ}}", "up", 0.0382),
    ("{thermistor: [B1.1, B1.2], r25: 1 kΩ, beta: 3400 K}", "25 °C", 0.0126),
    ("{current-sensor: [B1.1, B1.2], low: 7 mA, high: 14 mA}", "low", 0.007),
    ("{current-sensor: [B1.1, B1.2], low: 7 mA, high: 14 mA}", "high", 0.014),
    ("{coil: [B1.1, B1.2], r: 85 Ω, clamp: resistor, clamp-r: 680 Ω}", "", 0.1667),
    ("{coil: [B1.1, B1.2], r: 85 Ω, clamp: diode}", "", 0.148),
    ("{terminator: [B1.1, B1.2], r: 120 Ω}", "", 0.105),
    ("{differential-input: [B1.1, B1.2], as: SIN, r: 50 kΩ}", "", 0.000252),
    ("{module-supply: B1.1, draws: 0.4 A}", "", 0.4),
    ("{block: [B1.1, B1.2], label: Charger}", "", 0.0),
]


@pytest.mark.parametrize(("device", "word", "expected"), CURRENTS)
def test_current_of_a_device_at_the_battery(
    net: Callable[..., Netlist], device: str, word: str, expected: float
) -> None:
    netlist = net(device, with_word(word) if word else LIVE)
    assert netlist.gaps == ()
    assert amps(netlist) == pytest.approx(expected, rel=0.02, abs=1e-7)


# Three-terminal devices and drivers: device, settings, volts at cavity 3.
OUTPUTS: list[tuple[str, Mapping[str, str], float]] = [
    ("{potentiometer: [B1.1, B1.3, B1.2], r: 1 kΩ}", {"B1": "50 %"}, 12.6 * 476.3 / 976.3),
    ("{transducer: [B1.1, B1.3, B1.2], quantity: p / U, span: 0.5 V to 4.5 V}", {"B1": "25 %"}, 1.5 / 1.01),
    ("{hall-linear: [B1.1, B1.3, B1.2], span: 10 % to 90 %}", {"B1": "50 %"}, 6.3 / 1.01),
    ("{hall-switch: [B1.1, B1.3, B1.2]}", {"B1": "low"}, 0.0),
    ("{contact: [B1.1, B1.3], normally: closed}", {}, 12.6),
    ("{contact: [B1.1, B1.2, B1.3]}", {}, 12.6),
    ("{selector: [B1.1, B1.2, B1.3]}", {"B1": "off"}, 0.0),
    ("{pull-up: B1.3, to: 5 V, r: 10 kΩ}", {}, 2.5),
    ("{reference: B1.3, volts: 5 V, limit: 50 mA}", {}, 5.0),
    ("{high-side: B1.3, r: 0.1 Ω, command: OUT, to: B1.1}", {"B1.OUT": "on"}, 12.6),
    ("{high-side: B1.3, r: 0.1 Ω, command: OUT, to: B1.1}", {"B1.OUT": "off"}, 0.0),
    ("{half-bridge: B1.3, r: 0.1 Ω, command: OUT, to: B1.1}", {"B1.OUT": "on"}, 12.6),
    ("{diode: [B1.1, B1.3], drop: 0.7 V}", {}, 12.6 - 0.64),
    ("{led: [B1.1, B1.3], drop: 2 V}", {}, 12.6 - 1.89),
    ("{fuse: [B1.1, B1.3], id: F9, rating: 10 A}", {}, 12.6),
    ("{link: [B1.1, B1.3]}", {}, 12.6),
    ("{contactor: [B1.1, B1.3]}", {}, 0.0),
    ("{battery: [B1.3, B1.2], volts: 12 V}", {}, 12.0),
    ("{pack: [B1.3, B1.2], volts: 288 V}", {}, 288.0),
    ("{converter: [B1.1, B1.2, B1.3], volts: 14 V}", {}, 0.0),
    ("{loop-source: [B1.3, B1.2], volts: 5 V, r: 10 kΩ}", {}, 2.5),
    ("{excitation: [B1.3, B1.2], volts: 7 V, frequency: 10 kHz}", {}, 0.0),
    ("{transceiver: [B1.3, B1.1]}", {}, 2.5 * 10 / 35),
    ("{bus-node: B1.3}", {}, 12.0 * 10 / 40),
    ("{isolation: B1.3, r: 2 MΩ}", {}, 0.0),
    ("{inverter-phase: [B1.3, B1.1, B1.2]}", {}, 0.0),
    ("{clamp: B1.3, to: 5 V}", {}, 0.0),
    ("{low-side: B1.3, command: OUT}", {"B1.OUT": "on"}, 0.0),
]


@pytest.mark.parametrize(("device", "settings", "expected"), OUTPUTS)
def test_output_of_a_device(
    net: Callable[..., Netlist], device: str, settings: Mapping[str, str], expected: float
) -> None:
    netlist = net(device, Conditions(settings=settings))
    assert netlist.gaps == ()
    assert volts(netlist, "B1.3") == pytest.approx(expected, abs=0.06)


# What cannot be worked out is said, with the device and what is missing.
GAPS = [
    ("{thermistor: [B1.1, B1.2], r25: 1 kΩ, beta: 3400 K}", "", "no temperature"),
    ("{thermistor: [B1.1, B1.2], r25: 1 kΩ}", "20 °C", "neither a table nor"),
    ("{thermistor: [B1.1, B1.2], table: {20 °C: 2.5 kΩ, 90 °C: 250 Ω}}", "120 °C", "does not reach 120 °C"),
    ("{potentiometer: [B1.1, B1.3, B1.2], r: 4 kΩ}", "", "no travel"),
    ("{hall-switch: [B1.1, B1.3, B1.2]}", "", "no level"),
    ("{ladder-switch: [B1.1, B1.2], positions: {up: 330 Ω}}", "down", "no position (up)"),
    ("{switch: [B1.1, B1.2], normally: open}", "ajar", "'ajar' is no position"),
    ("{resistor: [B1.1, B1.2], r: 0 Ω}", "", "above zero"),
    ("{resistor: [B1.1, B1.1], r: 10 Ω}", "", "one point"),
    ("{lamp: [B1.1, B1.2], volts: 12 V, watts: 0 W}", "", "above zero"),
    ("{low-side: B1.3, command: OUT}", "maybe", "no command"),
    ("{transceiver: [B1.1, B1.3]}", "loud", "no level of a bus driver"),
    ("{transducer: [B1.1, B1.3, B1.2], quantity: p}", "25 %", "'span' is not told"),
]


@pytest.mark.parametrize(("device", "word", "because"), GAPS)
def test_what_cannot_be_computed_is_a_finding_and_no_guess(
    net: Callable[..., Netlist], device: str, word: str, because: str
) -> None:
    (gap,) = net(device, with_word(word) if word else LIVE).gaps
    assert gap.part == "B1"
    assert because in str(gap)
    assert gap.place.file == "chapters/P0118.ipynb"


def test_part_whose_plugs_are_off_needs_no_state(net: Callable[..., Netlist]) -> None:
    netlist = net("{thermistor: [B1.1, B1.2], r25: 1 kΩ, beta: 3400 K}", Conditions(unplugged=frozenset({"B1"})))
    assert netlist.gaps == ()


def test_each_side_of_a_plug_that_is_off_is_its_own_point(net: Callable[..., Netlist]) -> None:
    netlist = net("{resistor: [B1.1, B1.2], r: 120 Ω}", Conditions(unplugged=frozenset({"B1"})))
    found = islands(netlist)
    assert volts(netlist, "B1.1") == pytest.approx(12.6, abs=1e-3)
    assert found["B1.1/part"] == found["B1.2/part"] != found["B1.1"]


def test_in_line_connector_that_is_apart_opens_the_wire(net: Callable[..., Netlist]) -> None:
    netlist = net("{resistor: [B1.1, B1.2], r: 120 Ω}", Conditions(unplugged=frozenset({"X1"})))
    assert volts(netlist, "X1.1") == pytest.approx(12.6, abs=1e-3)
    assert volts(netlist, "B1.1") == pytest.approx(0.0, abs=1e-3)
    assert amps(netlist) == pytest.approx(0.0, abs=1e-6)


def test_pulled_fuse_is_open(net: Callable[..., Netlist]) -> None:
    netlist = net("{fuse: [B1.1, B1.3], id: F9, rating: 10 A}", Conditions(pulled=frozenset({"F9"})))
    assert volts(netlist, "B1.3") == pytest.approx(0.0, abs=1e-3)


def test_jumper_bridges_two_cavities_of_the_harness(net: Callable[..., Netlist]) -> None:
    bridged = Conditions(jumpers=(("B1.1", "B1.3"),), unplugged=frozenset({"B1"}))
    assert volts(net("{resistor: [B1.1, B1.2], r: 1 kΩ}", bridged), "R1.1") == pytest.approx(12.6, abs=1e-2)


def test_wire_and_contact_resistance_are_in_series(net: Callable[..., Netlist]) -> None:
    netlist = net("{resistor: [B1.1, B1.2], r: 1 Ω}")
    # 3 m of 0.5 mm² copper, a contact in X1 and two in B1 of 5 mΩ, the battery's 10 mΩ, feed 2 mΩ and eyelet 0.5 mΩ.
    ohms = 1 + 3 * 1 / 58 / 0.5 + 3 * 5e-3 + 12.5e-3
    assert amps(netlist) == pytest.approx(12.6 / ohms, rel=1e-3)


def test_sensor_supply_folds_back_above_its_limit(net: Callable[..., Netlist]) -> None:
    netlist = net("{reference: B1.3, volts: 5 V, limit: 0.4 mA}")
    assert 0.0 < volts(netlist, "B1.3") < 4.5


def test_asleep_modules_supply_nothing(net: Callable[..., Netlist]) -> None:
    netlist = net("{reference: B1.3, volts: 5 V}", Conditions(key="off"))
    assert volts(netlist, "B1.3") == pytest.approx(0.0, abs=1e-6)
