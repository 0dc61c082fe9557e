from __future__ import annotations

import itertools

import pytest
import wcag_contrast_ratio
from hypothesis import given
from hypothesis import strategies as st

from authorkit.model.wire_colour import COLOURS, Colour, ColourError, WireColour, contrast, parse_colour


def rgb_fractions(rgb: str) -> tuple[float, ...]:
    return tuple(int(rgb[i : i + 2], 16) / 255 for i in (1, 3, 5))


def test_the_fourteen_codes_stand_in_the_order_of_iec_60757_table_1():
    # IEC 60757:2021 table 1, from excerpts and the national edition of the 1983 text.
    assert " ".join(COLOURS) == "BK BN RD OG YE GN BU VT GY WH PK GD TQ SR"
    names = "black brown red orange yellow green blue violet grey white pink gold turquoise silver"
    assert " ".join(colour.name for colour in COLOURS.values()) == names


# Worked values of the WCAG 2.2 formula on white, computed with wcag-contrast-ratio 0.9.
@pytest.mark.parametrize(
    ("rgb", "ratio"),
    [
        ("#000000", 21.0),
        ("#767676", 4.5422),
        ("#777777", 4.4781),
        ("#949494", 3.0335),
        ("#959595", 2.9953),
        ("#FF0000", 3.9985),
        ("#0000FF", 8.5925),
        ("#008000", 5.1374),
        ("#FFA500", 1.9748),
        ("#FFFF00", 1.0738),
        ("#FFFFFF", 1.0),
    ],
)
def test_contrast_gives_the_worked_values(rgb, ratio):
    assert contrast(rgb, "#FFFFFF") == pytest.approx(ratio, abs=5e-5)


@given(st.integers(0, 0xFFFFFF), st.integers(0, 0xFFFFFF))
def test_contrast_agrees_with_the_reference_library(first, second):
    one, two = f"#{first:06X}", f"#{second:06x}"
    reference = wcag_contrast_ratio.rgb(rgb_fractions(one), rgb_fractions(two))
    assert contrast(one, two) == pytest.approx(reference, rel=1e-9)
    assert contrast(two, one) == contrast(one, two)


def test_exactly_the_colours_under_three_to_one_need_an_outline():
    # WCAG 2.2, 1.4.11: graphics need 3:1. Checked with wcag-contrast-ratio.
    faint = [
        code
        for code, colour in COLOURS.items()
        if wcag_contrast_ratio.rgb(rgb_fractions(colour.rgb), (1.0, 1.0, 1.0)) < 3
    ]
    assert faint == ["YE", "WH", "PK", "GD", "TQ", "SR"]
    assert [code for code, colour in COLOURS.items() if colour.needs_outline] == faint


def test_the_ink_on_every_colour_can_be_read():
    # WCAG 2.2, 1.4.3: text needs 4.5:1.
    for colour in COLOURS.values():
        assert wcag_contrast_ratio.rgb(rgb_fractions(colour.rgb), rgb_fractions(colour.ink)) >= 4.5
    dark = [code for code, colour in COLOURS.items() if colour.ink == "#FFFFFF"]
    assert dark == ["BK", "BN", "RD", "GN", "BU", "VT"]


def test_every_base_stripe_and_third_colour_comes_back_as_written():
    for count in (1, 2, 3):
        for codes in itertools.permutations(COLOURS, count):
            text = "/".join(codes)
            assert str(parse_colour(text)) == text


def test_the_order_of_base_and_stripe_has_meaning():
    # Vehicle practice; IEC 60757 knows no stripe.
    assert parse_colour("BU/WH") != parse_colour("WH/BU")
    assert parse_colour("BU/WH").base is COLOURS["BU"]
    assert parse_colour("BU/WH").stripe is COLOURS["WH"]
    assert parse_colour("RD/BK/WH").third is COLOURS["WH"]
    assert parse_colour("GN/YE").words == "green with yellow stripe"


@pytest.mark.parametrize(
    ("text", "words"),
    [("BK", "black"), ("BU/WH", "blue with white stripe"), ("RD/BK/WH", "red with black and white stripes")],
)
def test_a_colour_is_said_in_words(text, words):
    assert parse_colour(text).words == words


@pytest.mark.parametrize(
    ("text", "suggestion"),
    [
        ("ws", "WH"),
        ("bu/wh", "BU/WH"),
        ("br/ge", "BN/YE"),
        ("swrt", "BK/RD"),
        ("BL", "BU"),
        ("GR", "GY"),
        ("BLK", "BK"),
        ("BLK/WHT", "BK/WH"),
        ("blu-wht", "BU/WH"),
        ("PPL", "VT"),
        ("TAN", "BN"),
        ("LT BLU", "BU"),
        ("light blue", "BU"),
        ("blue/white", "BU/WH"),
        ("gray", "GY"),
        ("BU-WH", "BU/WH"),
        ("BU WH", "BU/WH"),
        ("BU/ WH", "BU/WH"),
        ("GNYE", "GN/YE"),
        ("/BU", "BU"),
        ("BU/", "BU"),
        ("XX", None),
        ("BU/XX", None),
        ("BUX", None),
        ("", None),
        ("/", None),
    ],
)
def test_other_notations_are_refused_with_a_suggestion(text, suggestion):
    # German letters: DIN practice (public table). US abbreviations: from memory.
    with pytest.raises(ColourError) as caught:
        parse_colour(text)
    assert caught.value.found == text
    assert "BK, BN, RD" in caught.value.expected
    assert caught.value.suggestion == suggestion


@pytest.mark.parametrize(
    ("text", "suggestion"),
    [("BU/BU", "BU"), ("RD/BK/RD", "RD/BK"), ("RD/BK/BK", "RD/BK"), ("RD/RD/RD", "RD")],
)
def test_a_stripe_that_cannot_be_seen_is_refused(text, suggestion):
    with pytest.raises(ColourError, match="differs from the other colours") as caught:
        parse_colour(text)
    assert caught.value.found == text
    assert caught.value.suggestion == suggestion


def test_four_colours_are_too_many():
    with pytest.raises(ColourError, match="at most three"):
        parse_colour("BK/BN/RD/OG")


def test_a_declared_colour_is_read_and_suggested():
    declared = {"TN": Colour("TN", "tan", "#C8A878")}
    tan = parse_colour("TN/BK", declared)
    assert tan.words == "tan with black stripe"
    assert tan.base.needs_outline
    assert tan.base.ink == "#000000"
    with pytest.raises(ColourError) as caught:
        parse_colour("tan", declared)
    assert caught.value.suggestion == "TN"
    assert "TN" in caught.value.expected
    with pytest.raises(ColourError):
        parse_colour("TN")


def test_a_declared_colour_never_replaces_a_standard_one():
    assert parse_colour("BK", {"BK": Colour("BK", "blue-green", "#00FFFF")}).base is COLOURS["BK"]


@pytest.mark.parametrize(
    ("code", "rgb"),
    [("T", "#C8A878"), ("tn", "#C8A878"), ("TAN", "#C8A878"), ("TN", "C8A878"), ("TN", "#C8A87")],
)
def test_a_malformed_declared_colour_is_refused(code, rgb):
    with pytest.raises(ColourError, match="expected"):
        Colour(code, "tan", rgb)


def test_a_stripe_of_the_same_code_is_refused_when_built_by_hand():
    with pytest.raises(ColourError):
        WireColour(COLOURS["BU"], COLOURS["BU"])


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_with_a_readable_suggestion(text):
    try:
        assert str(parse_colour(text)) == text
    except ColourError as error:
        if error.suggestion is not None:
            parse_colour(error.suggestion)
