"""The readings of the templates against the values in their circuits, computed here from textbook formulas.

Ohm's law and the voltage divider; the beta formula of a thermistor, R = R25 exp(B (1/T - 1/298.15 K)) (manufacturers'
application notes, from memory); resistors side by side; the end resistors of 120 Ω of ISO 11898-2 (from memory); copper
with 0.0175 Ω·mm²/m at 20 °C (handbook value).
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, sqrt
from pathlib import Path

import pytest

from authorkit.model.chapter import Chapter
from authorkit.starters.numbers import current_window, parallel_window
from authorkit.units import Quantity, parse_window

Make = Callable[..., object]
ChapterOf = Callable[[Path, str], Chapter]
BATTERY = 12.6


@pytest.fixture
def chapter(manual: Path, make: Make, chapter_of: ChapterOf) -> Callable[[str, str], Chapter]:
    def made(code: str, kind: str) -> Chapter:
        make(manual, code, kind)
        return chapter_of(manual, code)

    return made


def value(chapter: Chapter, kind: str, key: str, number: int = 0) -> Quantity:
    devices = [device for device in chapter.wiring.devices if device.kind == kind]
    found = devices[number].values[key]
    assert isinstance(found, Quantity)
    return found


def window(chapter: Chapter, name: str) -> tuple[float, float]:
    """Low and high limit in base units; an open side is 0 or infinite, the battery is at 12.6 V."""
    reads = next(spec.reads for spec in chapter.specs if spec.name == name)
    low = reads.low.resolve(BATTERY) if reads.low else 0.0
    return low, reads.high.resolve(BATTERY) if reads.high else float("inf")


def assert_holds(chapter: Chapter, name: str, *extremes: float) -> None:
    """A window holds every healthy value, and leaves at most a tenth more than that on either side (or 0.25 V)."""
    low, high = window(chapter, name)
    assert low <= min(extremes), name
    assert max(extremes) <= high, name
    room = max(0.1 * max(extremes), 0.31)
    if low > 0 and high < float("inf"):
        assert min(extremes) - low <= room, name
        assert high - max(extremes) <= room, name


def divider(upper: float, lower: float, volts: float = 5.0) -> float:
    return volts * lower / (upper + lower)


def corners(quantity: Quantity) -> tuple[float, float]:
    return quantity.low, quantity.high


def thermistor(chapter: Chapter, celsius: float) -> tuple[float, float]:
    factor = exp(value(chapter, "thermistor", "beta").base * (1 / (celsius + 273.15) - 1 / 298.15))
    low, high = corners(value(chapter, "thermistor", "r25"))
    return low * factor, high * factor


@pytest.mark.parametrize(("name", "celsius"), [("signal-cold", 20.0), ("signal-hot", 90.0)])
def test_thermistor_signal(name: str, celsius: float, chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0117", "thermistor")
    ohms, pull_up = thermistor(made, celsius), corners(value(made, "pull-up", "r"))
    assert_holds(made, name, divider(pull_up[1], ohms[0]), divider(pull_up[0], ohms[1]))


def test_thermistor_alone_and_its_set_conditions(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0116", "thermistor")
    low, high = window(made, "sensor-cold")
    cold = thermistor(made, 20.0)
    assert low <= cold[0] <= cold[1] <= high <= 1.1 * cold[1]
    pull_up = value(made, "pull-up", "r").base
    above, below = (condition.window for condition in made.sets_when)
    assert above is not None
    assert above.low is not None
    assert below is not None
    assert below.high is not None
    # No temperature of the trade sets the code by itself.
    assert divider(pull_up, thermistor(made, -40.0)[1]) < above.low.resolve() < 5.0
    assert 0.0 < below.high.resolve() < divider(pull_up, thermistor(made, 150.0)[0])


def test_switch_to_ground(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("C1A10", "switch-to-ground")
    up, down = corners(value(made, "pull-up", "r")), corners(value(made, "resistor", "r"))
    assert_holds(made, "signal-open", divider(up[1], down[0]), divider(up[0], down[1]))
    low, high = window(made, "resistor")
    assert low <= down[0] <= down[1] <= high
    condition = made.sets_when[0].window
    assert condition is not None
    assert condition.low is not None
    assert divider(up[0], down[1]) < condition.low.resolve() < 5.0


def test_three_wire_sensor(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0532", "three-wire-sensor")
    assert_holds(made, "supply", *corners(value(made, "reference", "volts")))
    assert_holds(made, "signal-quarter", 0.5 + 0.25 * (4.5 - 0.5))
    assert_holds(made, "signal-bridged", *corners(value(made, "reference", "volts")))


# Name of the reading, which track, where its wiper stands at that pedal position.
PEDAL = [
    ("first-released", 0, 0.2),
    ("first-pressed", 0, 0.8),
    ("second-released", 1, 0.1),
    ("second-pressed", 1, 0.7),
]


def pedal_volts(chapter: Chapter, track: int, wiper: float, supply: float) -> float:
    """The loaded potentiometer: its inner resistance is wiper (1 - wiper) R, then the resistor in series."""
    inner = wiper * (1 - wiper) * value(chapter, "potentiometer", "r", track).base
    series = value(chapter, "potentiometer", "series-r", track).base
    return divider(inner + series, value(chapter, "pull-down", "r", track).base, wiper * supply)


@pytest.mark.parametrize(("name", "track", "wiper"), PEDAL)
def test_dual_track_pedal(name: str, track: int, wiper: float, chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P2138", "dual-track-pedal")
    supplies = corners(value(made, "reference", "volts", track))
    assert_holds(made, name, *(pedal_volts(made, track, wiper, supply) for supply in supplies))


def test_the_difference_of_both_tracks_never_sets_the_code_by_itself(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P2138", "dual-track-pedal")
    below, above = sorted(
        (condition.window for condition in made.sets_when if condition.window), key=lambda each: each.low is not None
    )
    assert below.high is not None
    assert above.low is not None
    for first, second in ((PEDAL[0], PEDAL[2]), (PEDAL[1], PEDAL[3])):
        for high, low in ((5.05, 4.95), (4.95, 5.05)):
            one = pedal_volts(made, first[1], first[2], high)
            other = pedal_volts(made, second[1], second[2], low)
            assert below.high.resolve() < one - other < above.low.resolve()
    assert_holds(made, "difference", pedal_volts(made, 0, 0.2, 5.0) - pedal_volts(made, 1, 0.1, 5.0))


def test_relay_coil_with_its_clamp_resistor(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0480", "relay-driven-load")
    clamp = value(made, "coil", "clamp-r").base
    coils = [1 / (1 / ohms + 1 / clamp) for ohms in corners(value(made, "coil", "r"))]
    low, high = window(made, "coil")
    assert low <= coils[0] <= coils[1] <= high <= 1.05 * coils[1]
    driver = value(made, "low-side", "r").base
    assert_holds(made, "control-on", divider(coils[0], driver, BATTERY))
    pull_down = value(made, "pull-down", "r").base
    assert_holds(made, "control-off", divider(coils[1], pull_down, BATTERY))


def test_low_side_current_winding_and_levels(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0443", "low-side-pwm")
    driver, winding = value(made, "low-side", "r").base, corners(value(made, "solenoid", "r"))
    low, high = window(made, "current")
    currents = [BATTERY / (winding[1] + driver), BATTERY / (winding[0] + driver)]
    # Beside the tolerance of the winding: a battery from 12.0 V to 12.9 V, and the accuracy of the clamp.
    assert low <= currents[0] <= currents[1] <= high <= 1.16 * currents[1]
    low, high = window(made, "winding")
    assert low <= winding[0] <= winding[1] <= high
    assert_holds(made, "control-on", divider(winding[0], driver, BATTERY))


def test_the_bus_without_its_last_module_has_one_end_left(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("U0110", "two-wire-bus")
    low, high = window(made, "bus-resistance")
    assert low <= 120 * 0.99
    assert 120 * 1.01 <= high <= 120 * 1.06


def test_the_bus_without_a_module_between_the_ends_has_both(demo: Path, make: Make, chapter_of: ChapterOf) -> None:
    make(demo, "U0100", "two-wire-bus")  # stored by M5, which does not hear M1
    low, high = window(chapter_of(demo, "U0100"), "bus-resistance")
    assert low <= 60 * 0.99
    assert 60 * 1.01 <= high <= 60 * 1.06


def test_interlock_loop(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0A0A", "interlock-loop")
    up, down = corners(value(made, "pull-up", "r")), corners(value(made, "pull-down", "r"))
    assert_holds(made, "loop-closed", divider(up[1], down[0]), divider(up[0], down[1]))


def test_resolver_windings_and_amplitude(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0A3F", "resolver")
    for number, name in enumerate(("excitation", "sine", "cosine")):
        low, high = window(made, name)
        winding = corners(value(made, "winding", "r", number))
        assert low <= winding[0] <= winding[1] + 0.5 <= high <= 1.06 * winding[1]
    amplitude = dict(made.waveforms[0].values)["amplitude"]
    assert isinstance(amplitude, Quantity)
    assert amplitude.base == pytest.approx(value(made, "excitation", "volts").base * sqrt(2), rel=0.01)


def test_motor_phases_with_the_copper_of_two_cables(chapter: Callable[[str, str], Chapter]) -> None:
    made = chapter("P0A78", "motor-phases")
    windings = corners(value(made, "motor-3", "r"))
    wire = made.wiring.wires[0]
    assert wire.length is not None
    cables = 2 * 0.0175e-6 * wire.length.base / wire.size.base
    for name in ("u-v", "v-w", "u-w"):
        low, high = window(made, name)
        assert low <= windings[0] + cables <= windings[1] + cables <= high <= 1.08 * windings[1]
    low, high = window(made, "winding")
    assert low <= windings[0] <= windings[1] <= high


@pytest.mark.parametrize(
    ("battery", "ohms", "spread", "expected"),
    [
        (12.6, 26.3, 0.05, "450 to 510 mA"),
        (12.6, 6.0, 0.05, "2 to 2.3 A"),
        (24.0, 12.0, 0.1, "1.81 to 2.3 A"),
        (12.0, 12.0, 0.0, "1 to 1 A"),
    ],
)
def test_a_current_window_is_ohms_law_rounded_outwards(
    battery: float, ohms: float, spread: float, expected: str
) -> None:
    text = current_window(battery, ohms, spread)
    assert text == expected
    read = parse_window(text, "current")
    assert read.low is not None
    assert read.high is not None
    assert read.low.resolve() <= battery / (ohms * (1 + spread)) + 1e-12
    assert read.high.resolve() >= battery / (ohms * (1 - spread)) - 1e-12


@pytest.mark.parametrize(
    ("ends", "expected"), [([120.0, 120.0], "57 to 63 Ω"), ([120.0], "114 to 126 Ω"), ([60.0] * 3, "19 to 21 Ω")]
)
def test_resistors_side_by_side(ends: list[float], expected: str) -> None:
    assert parallel_window(ends, 0.05) == expected
