"""Instruments as parts of the circuit: those that take real current, clamps, and points that nothing drives."""

from __future__ import annotations

import pytest

from authorkit.circuit.answers import Half, answers_of
from authorkit.circuit.measurement import Measurement, Reading
from authorkit.circuit.netlist import CHASSIS, OPEN, Element, Netlist, Toggle, joint, resistor

G = CHASSIS
BATTERY = (Element("battery:v", "V", "p", G, 12.6), joint("battery:r", ("p", "battery"), 0.01))


def read(netlist: Netlist, instrument: str, at: str, to: str = G) -> Reading:
    measurement = Measurement(instrument, at, to)
    return answers_of([Half(netlist)], [measurement], []).reading((0, 0), measurement, "on")


def relay(clamped: str = "l") -> Netlist:
    """A coil of 85 Ω from the battery to an open pin; its contact would feed a load of 10 Ω."""
    pulled = Toggle("k", 7.0, 2.0, {"c": 0.02}, {"c": OPEN}, across=("battery", "pin"))
    return Netlist(
        (
            *BATTERY,
            resistor("coil", ("battery", "pin"), 85.0),
            joint("c", ("battery", clamped), OPEN),
            resistor("load", (clamped, G), 10.0),
        ),
        (pulled,),
    )


def test_test_lamp_at_the_open_end_of_a_coil_pulls_the_relay_in() -> None:
    # 85 Ω over the 6.86 Ω of a lamp of 21 W: 11.66 V for the coil, 0.94 V for the lamp (Ohm's law).
    netlist = relay()
    lamp = read(netlist, "lamp", "pin")
    assert lamp.nominal == pytest.approx(12.6 * (144 / 21) / (144 / 21 + 85), abs=0.02)
    both = [Measurement("volts", "l", G), Measurement("lamp", "pin", G)]
    answers = answers_of([Half(netlist)], both, [])
    assert answers.reading((0, 0), both[0], "on").nominal == pytest.approx(0.0, abs=1e-3)
    # The load that the contact then feeds takes 12.6 V * 0.01 / 10.03 of the battery's resistance: the lamp feels it.
    without = 12.6 * (144 / 21) / (144 / 21 + 85.01)
    assert lamp.nominal < without - 5e-4


def test_voltmeter_takes_too_little_to_move_a_relay() -> None:
    assert read(relay(), "volts", "pin").nominal == pytest.approx(12.6, abs=1e-3)


def test_lamp_that_overloads_a_fuse_of_one_ampere_blows_it() -> None:
    # 12.6 V over 6.86 Ω is 1.84 A, more than 1.35 times the rating.
    blown = Toggle("f:blown", 1.35, 0.0, {"f": OPEN}, {"f": 0.075}, sense="f", once=True)
    netlist = Netlist((*BATTERY, joint("f", ("battery", "x"), 0.075)), (blown,))
    assert read(netlist, "volts", "x").status == "driven"
    lamp = read(netlist, "lamp", "x")
    assert lamp.status == "fuse blown"
    assert lamp.nominal == pytest.approx(0.0, abs=1e-6)


def test_point_that_nothing_drives_floats_for_a_voltmeter_and_is_dead_for_a_load() -> None:
    netlist = Netlist((*BATTERY, joint("w", ("battery", "x"), OPEN), joint("v", ("x", "y"), 0.01)))
    assert read(netlist, "volts", "y").status == "floating"
    for instrument in ("lamp", "low-impedance", "absence"):
        reading = read(netlist, instrument, "y")
        assert (reading.status, reading.nominal) == ("driven", pytest.approx(0.0, abs=1e-3))


@pytest.mark.parametrize(("ohms", "shown"), [(0.02, 0.02), (26.0, 26.0), (1e6, 1e6)])
def test_ohmmeter_shows_the_resistance_between_its_leads(ohms: float, shown: float) -> None:
    netlist = Netlist((*BATTERY, joint("r", ("x", G), ohms)))
    assert read(netlist, "ohms", "x").nominal == pytest.approx(shown, rel=2e-3)


def test_ohmmeter_refuses_a_live_point_and_tells_an_open_one() -> None:
    netlist = Netlist((*BATTERY, resistor("r", ("battery", "x"), 100.0), resistor("s", ("x", G), 100.0)))
    assert read(netlist, "ohms", "x").status == "live circuit"
    assert read(netlist, "ohms", "nowhere").status == "undetermined"
    assert read(Netlist((*BATTERY, joint("o", ("x", G), OPEN))), "ohms", "x").status == "open"


def test_clamp_goes_around_the_one_wire_at_its_point() -> None:
    wires = (joint("wire:K1:battery:x", ("battery", "x"), 0.01), resistor("load", ("x", G), 6.3))
    assert read(Netlist((*BATTERY, *wires)), "amps", "x", "").nominal == pytest.approx(12.6 / 6.32, rel=1e-3)
    another = joint("wire:K2:x:y", ("x", "y"), 0.01)
    assert read(Netlist((*BATTERY, *wires, another)), "amps", "x", "").status == "undetermined"
