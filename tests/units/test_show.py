"""How quantities and windows look in print, and that they are read back as they were.

Style rules: SI Brochure, 9th edition, 5.4.3 and 5.4.7 (space before the unit, also before °C and %; none
before the degree of an angle), 5.4.4 (the decimal marker); NIST SP 811, 7.7 (a unit with every number of a
range or tolerance) and ISO 80000-1, 7.3 (minus sign, unit symbols unaltered). SP 811 and ISO from memory.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from authorkit.units import (
    UNITS,
    Bound,
    Quantity,
    Tolerance,
    Window,
    as_typed,
    parse_bound,
    parse_quantity,
    parse_window,
    show,
    show_plain,
    window_of,
)

N, B, M = "\u202f", "\u00a0", "\u2212"

PRINTED = [
    ("4.5V", f"4.5{N}V", "4.5 V"),
    ("4.50 V", f"4.50{N}V", "4.50 V"),
    ("-10 degC", f"{M}10{N}°C", "-10 degC"),
    ("80%", f"80{N}%", "80 %"),
    ("90 deg", "90°", "90 deg"),
    ("2.2 kohm +- 1 %", f"2.2{N}kΩ{B}±{B}1{N}%", "2.2 kohm +- 1 %"),
    ("60 Ω ± 5 Ω", f"60{N}Ω{B}±{B}5{N}Ω", "60 ohm +- 5 ohm"),
    ("5 us", f"5{N}\u00b5s", "5 us"),
    ("0.5 mm2", f"0.5{N}mm²", "0.5 mm2"),
    ("9 Nm", f"9{N}N·m", "9 Nm"),
    ("20 ft-lb", f"20{N}lbf·ft", "20 lb-ft"),
    ("1e3 V", f"1000{N}V", "1000 V"),
    ("-0.0 V", f"0.0{N}V", "0.0 V"),
    ("00 AWG", f"2/0{N}AWG", "2/0 AWG"),
    ("0.000001 F", f"0.000001{N}F", "0.000001 F"),
]
WINDOWS = [
    ("4.9 to 5.1 V", f"4.9{N}V to 5.1{N}V", "4.9 V to 5.1 V"),
    ("-40 to 125 °C", f"{M}40{N}°C to 125{N}°C", "-40 degC to 125 degC"),
    ("5 V +- 2 %", f"5{N}V{B}±{B}2{N}%", "5 V +- 2 %"),
    ("< 0.3 V", f"below 0.3{N}V", "below 0.3 V"),
    ("<= 0.3 V", f"at most 0.3{N}V", "at most 0.3 V"),
    ("> 4.85 V", f"above 4.85{N}V", "above 4.85 V"),
    (">= 10 Mohm", f"at least 10{N}MΩ", "at least 10 Mohm"),
    (
        "at least battery - 0.3 V",
        f"at least battery voltage minus 0.3{N}V",
        "at least battery voltage minus 0.3 V",
    ),
    ("below battery + 0.5 V", f"below battery voltage plus 0.5{N}V", "below battery voltage plus 0.5 V"),
    ("0.5 V to battery", f"0.5{N}V to battery voltage", "0.5 V to battery voltage"),
    ("<5 V and >4 V", f"above 4{N}V and below 5{N}V", "above 4 V and below 5 V"),
]


@pytest.mark.parametrize(("typed", "printed", "plain"), PRINTED)
def test_a_quantity_in_print_and_in_ascii(typed: str, printed: str, plain: str) -> None:
    assert show(parse_quantity(typed)) == printed
    assert show_plain(parse_quantity(typed)) == plain


@pytest.mark.parametrize(("typed", "printed", "plain"), WINDOWS)
def test_a_window_in_print_and_in_ascii(typed: str, printed: str, plain: str) -> None:
    assert show(parse_window(typed)) == printed
    assert show_plain(parse_window(typed)) == plain


def test_a_limit_alone_is_written_too() -> None:
    assert show(parse_bound("battery − 0.3 V")) == f"battery voltage minus 0.3{N}V"
    assert as_typed(parse_bound("battery voltage")) == "battery"
    assert show(parse_bound("5 V")) == f"5{N}V"


def test_as_typed_uses_signs_an_author_sees_on_the_page_and_ordinary_spaces() -> None:
    assert as_typed(parse_quantity("2.2 kohm +- 1 %")) == "2.2 kΩ ± 1 %"
    assert as_typed(parse_quantity("90 deg")) == "90°"


NUMBERS = st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9, places=6) | st.builds(
    lambda digits, shift: Decimal(digits).scaleb(-shift), st.integers(-(10**12), 10**12), st.integers(0, 12)
)
SIZES = NUMBERS.map(abs)
MEASURES = [unit for unit in UNITS if unit.symbol != "AWG"]
GAUGES = st.builds(Quantity, st.integers(-3, 40).map(Decimal), st.just("AWG"))
PLAIN = st.builds(lambda value, unit: Quantity(value, unit.symbol), NUMBERS, st.sampled_from(MEASURES))


@st.composite
def with_tolerance(draw: st.DrawFn) -> Quantity:
    """A quantity with a relative tolerance where one is allowed, or an absolute one in a unit that fits."""
    unit = draw(st.sampled_from(MEASURES))
    kin = [each.symbol for each in MEASURES if each.dimension == unit.dimension]
    absolute = st.builds(lambda size, symbol: Tolerance(absolute=Quantity(size, symbol)), SIZES, st.sampled_from(kin))
    relative = st.decimals(0, 100, places=3).map(lambda percent: Tolerance(relative=percent))
    only_absolute = unit.dimension in ("temperature", "ratio")
    return Quantity(draw(NUMBERS), unit.symbol, draw(absolute if only_absolute else absolute | relative))


@st.composite
def windows(draw: st.DrawFn) -> Window:
    """Any window: of a tolerance, one-sided, two-sided in two units, or around the battery."""
    kind = draw(st.sampled_from(["stated", "absolute", "battery"]))
    if kind == "stated":
        return window_of(draw(with_tolerance()))
    symbols = ["V", "mV", "kV"] if kind == "battery" else draw(kin_units())
    limit = st.builds(Quantity, NUMBERS, st.sampled_from(symbols))
    of = "battery" if kind == "battery" else None
    ends = sorted((Bound(of, draw(limit)), Bound(of, draw(limit))), key=lambda bound: bound.offset.base)
    sides = draw(st.sampled_from(["low", "high", "both"]))
    flags = [ends[0].offset.base == ends[1].offset.base or draw(st.booleans()) for _ in range(2)]
    return Window(None if sides == "high" else ends[0], None if sides == "low" else ends[1], *flags)


def kin_units() -> st.SearchStrategy[list[str]]:
    """The symbols of one dimension."""
    return st.sampled_from(sorted({unit.dimension for unit in MEASURES})).map(
        lambda dimension: [unit.symbol for unit in MEASURES if unit.dimension == dimension]
    )


ROUND_TRIP = settings(derandomize=True, deadline=None, max_examples=600, database=None)


@ROUND_TRIP
@given(quantity=PLAIN | GAUGES | with_tolerance())
def test_every_quantity_is_read_back_as_it_was(quantity: Quantity) -> None:
    for write in (show, show_plain, as_typed):
        again = parse_quantity(write(quantity), quantity.dimension)
        assert again == quantity
        assert write(again) == write(quantity)


@ROUND_TRIP
@given(window=windows())
def test_every_window_is_read_back_as_it_was(window: Window) -> None:
    for write in (show, show_plain, as_typed):
        again = parse_window(write(window), window.dimension)
        assert again == window
        assert write(again) == write(window)


@ROUND_TRIP
@given(item=PLAIN | GAUGES | with_tolerance() | windows())
def test_print_keeps_number_and_unit_together_and_ascii_is_ascii(item: Quantity | Window) -> None:
    printed, plain = show(item), show_plain(item)
    assert plain.isascii()
    assert "-" not in printed
    words = {"below", "above", "at", "least", "most", "to", "and", "battery", "voltage", "minus", "plus"}
    # Between ordinary spaces stand whole quantities or words, so no line can break inside a quantity.
    for piece in printed.split(" "):
        assert piece in words or piece[0].isdigit() or piece[0] == M
