"""What states mean."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from authorkit.circuit.states import AT_REST, CHARGING, conditions_of, frequency_of, phases_of, share_of, state_name
from authorkit.model.book import Book
from authorkit.model.specification import State
from authorkit.problems import Place

PARTS = """
high-voltage:
  - {disconnect: SD1, waiting: 5 min, waiting-source: invented, tool: T2, gloves: "0"}
parts:
  SD1: {name: Service disconnect, connectors: {SD1-P: {"1": A, "2": B}, SD1-L: {"1": C}}}
  BAT1:
    name: Battery
    kind: battery
    connectors: {BAT1-N: {"1": NEGATIVE}, BAT1-P: {"1": POSITIVE}}
    inside: [{battery: [BAT1-P.1, BAT1-N.1], volts: 12.6 V}]
"""


def state(**said: object) -> State:
    return State(name=str(said.pop("name", "")), place=Place("x"), **said)  # type: ignore[arg-type]


@pytest.fixture
def book(book_of: Callable[..., Book]) -> Book:
    return book_of(PARTS)


def test_open_disconnect_takes_every_plug_of_its_part_with_it(book: Book) -> None:
    conditions = conditions_of(book, state(key="off", disconnect="open"), "A")
    assert conditions.unplugged == {"SD1-P", "SD1-L"}


def test_unplugged_battery_terminal_leaves_no_battery(book: Book) -> None:
    assert conditions_of(book, state(key="off", unplugged=("BAT1-N",)), "A").battery is None
    assert conditions_of(book, state(key="off"), "A").battery is not None


@pytest.mark.parametrize(
    ("key", "when", "live"),
    [
        ("off", "always", True),
        ("off", "key on", False),
        ("on", "key on", True),
        ("crank", "crank", True),
        ("on", "crank", False),
        ("on", "high voltage on", False),
        ("run", "high voltage on", True),
    ],
)
def test_feeds_live_by_the_key(book: Book, key: str, when: str, live: bool) -> None:
    assert conditions_of(book, state(key=key), "A").live(when) is live


def test_battery_voltage_follows_the_key(book: Book) -> None:
    assert conditions_of(book, state(key="on"), "A").battery == AT_REST
    assert conditions_of(book, state(key="run"), "A").battery == CHARGING


def test_pulsed_output_is_two_states_in_turn() -> None:
    on, off = phases_of(state(settings=(("SW1", "open"), ("M1.FAN", "40 %"))))
    assert (on.share, off.share) == (pytest.approx(0.4), pytest.approx(0.6))
    assert on.state.settings == (("SW1", "open"), ("M1.FAN", "on"))
    assert off.state.settings == (("SW1", "open"), ("M1.FAN", "off"))


def test_turning_sensor_is_high_half_of_the_time() -> None:
    turning = state(settings=(("B9", "120 Hz"),))
    assert [half.state.settings for half in phases_of(turning)] == [(("B9", "high"),), (("B9", "low"),)]
    assert frequency_of(turning) == 120.0


def test_travel_of_a_pedal_is_one_state() -> None:
    assert len(phases_of(state(settings=(("B11", "25 %"),)))) == 1
    assert share_of("25 %") == 0.25
    assert share_of("closed") is None


def test_state_without_a_name_says_what_it_is() -> None:
    unnamed = state(key="off", unplugged=("B5",), settings=(("B5", "20 °C"),))
    assert state_name(unnamed) == "key off, unplug B5, B5 20 °C"
    assert state_name(state(name="cold")) == "cold"
    assert state_name(state()) == "as found"
