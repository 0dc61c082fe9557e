from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.model import voltage_limits
from authorkit.model.voltage_limits import (
    GLOVE_CLASSES,
    METER_CATEGORIES,
    Limit,
    MeterRating,
    RatingError,
    is_class_b,
    parse_meter_rating,
    required_isolation,
    weakest,
)


@pytest.mark.parametrize(
    ("volts_dc", "volts_ac", "class_b"),
    [
        # ISO 6469-4 and US FMVSS 305: more than 60 V d.c. or more than 30 V a.c. rms.
        (60.0, None, False),
        (60.1, None, True),
        (-400.0, None, True),
        (None, 30.0, False),
        (None, 30.1, True),
        (14.4, 0.5, False),
        (14.4, 230.0, True),
        (48.0, None, False),
        (400.0, None, True),
        (0.0, 0.0, False),
    ],
)
def test_class_b_begins_above_the_limit(volts_dc, volts_ac, class_b):
    assert is_class_b(volts_dc, volts_ac) is class_b


@pytest.mark.parametrize(("volts_dc", "volts_ac"), [(None, None), (math.nan, None), (12.0, math.nan), (math.inf, 0.0)])
def test_an_unknown_voltage_never_reads_as_safe(volts_dc, volts_ac):
    with pytest.raises(ValueError, match="expected"):
        is_class_b(volts_dc, volts_ac)


@pytest.mark.parametrize(
    ("volts", "kind", "ohms"),
    [
        # UN R100 and ISO 6469-4: 100 ohm/V d.c., 500 ohm/V a.c. or joined; worked values by hand.
        (400.0, "dc", 40_000.0),
        (800.0, "dc", 80_000.0),
        (400.0, "ac", 200_000.0),
        (400.0, "joined", 200_000.0),
        (400.0, "joined-protected", 40_000.0),
        (0.0, "dc", 0.0),
    ],
)
def test_isolation_follows_from_the_working_voltage(volts, kind, ohms):
    assert required_isolation(volts, kind) == ohms


@pytest.mark.parametrize("volts", [-1.0, math.nan, math.inf])
def test_isolation_needs_a_working_voltage(volts):
    with pytest.raises(ValueError, match="zero or more volts"):
        required_isolation(volts, "dc")


def test_every_limit_names_its_source():
    limits = {name: value for name, value in vars(voltage_limits).items() if isinstance(value, Limit)}
    assert len(limits) == 8
    assert all(limit.source and limit.unit for limit in limits.values())
    # Not seen in any source so far, and said so.
    unseen = [name for name, limit in limits.items() if "memory" in limit.source]
    assert unseen == ["CLASS_B_DC_UPPER", "CLASS_B_AC_UPPER"]
    # 0.1 ohm bond at 0.2 A or more, 0.2 J after a crash: UN R100, US FMVSS 305.
    assert voltage_limits.BOND.value == 0.1
    assert voltage_limits.STORED_ENERGY.value == 0.2


# ASTM D120 / EN 60903 / 29 CFR 1910.137: maximum use a.c., proof d.c. and label colour, as published.
@pytest.mark.parametrize(
    ("name", "max_ac", "proof_dc", "label"),
    [
        ("00", 500, 10_000, "beige"),
        ("0", 1_000, 20_000, "red"),
        ("1", 7_500, 40_000, "white"),
        ("2", 17_000, 50_000, "yellow"),
        ("3", 26_500, 60_000, "green"),
        ("4", 36_000, 70_000, "orange"),
    ],
)
def test_glove_classes_have_their_published_values(name, max_ac, proof_dc, label):
    glove = GLOVE_CLASSES[name]
    assert (glove.max_ac, glove.proof_dc, glove.label) == (max_ac, proof_dc, label)
    assert glove.max_dc == 1.5 * max_ac


def test_glove_classes_rise_from_00_to_4():
    assert list(GLOVE_CLASSES) == ["00", "0", "1", "2", "3", "4"]
    for column in ("max_ac", "max_dc", "proof_ac", "proof_dc"):
        values = [getattr(glove, column) for glove in GLOVE_CLASSES.values()]
        assert values == sorted(set(values))


@pytest.mark.parametrize(
    ("name", "volts", "kind", "covered"),
    [
        ("00", 400.0, "dc", True),
        ("00", 750.0, "dc", True),
        ("00", 751.0, "dc", False),
        ("00", 501.0, "ac", False),
        ("0", 800.0, "dc", True),
        ("0", 1_500.0, "ac", False),
    ],
)
def test_gloves_cover_a_voltage_up_to_their_maximum_use(name, volts, kind, covered):
    assert GLOVE_CLASSES[name].covers(volts, kind) is covered


@pytest.mark.parametrize("text", ["CAT II 600 V", "CAT III 1000 V", "CAT IV 600 V"])
def test_a_meter_rating_comes_back_as_printed(text):
    assert str(parse_meter_rating(text)) == text


@pytest.mark.parametrize(
    ("text", "suggestion"),
    [
        ("CAT III 1000V", "CAT III 1000 V"),
        ("cat iii 1000 v", "CAT III 1000 V"),
        ("CATIII 1000 V", "CAT III 1000 V"),
        ("CAT III 1,000 V", "CAT III 1000 V"),
        ("CAT III 1 000 V", "CAT III 1000 V"),
        ("CAT. III 1000 V", "CAT III 1000 V"),
        ("Category III, 1000 V", "CAT III 1000 V"),
        ("CAT 3 600 V", "CAT III 600 V"),
        ("CAT IV 600", "CAT IV 600 V"),
        ("1000 V CAT III", "CAT III 1000 V"),
        ("CAT III", None),
        ("CAT I 600 V", None),
        ("CAT V 600 V", None),
        ("CAT III 0 V", None),
        ("1000 V", None),
        ("", None),
    ],
)
def test_another_way_to_write_a_rating_is_refused_with_a_suggestion(text, suggestion):
    with pytest.raises(RatingError) as caught:
        parse_meter_rating(text)
    assert caught.value.found == text
    assert "CAT II, CAT III or CAT IV" in caught.value.expected
    assert caught.value.suggestion == suggestion


@given(st.text(alphabet="CATIV 0123456789.,kv-", max_size=16))
def test_any_rating_is_read_or_refused_with_a_readable_suggestion(text):
    try:
        assert str(parse_meter_rating(text)) == text
    except RatingError as error:
        if error.suggestion is not None:
            parse_meter_rating(error.suggestion)


# Common practice, no standard: category III or higher, and at least the working voltage.
@pytest.mark.parametrize(
    ("rating", "volts", "covered"),
    [
        ("CAT III 1000 V", 400.0, True),
        ("CAT III 1000 V", 1000.0, True),
        ("CAT III 600 V", 601.0, False),
        ("CAT IV 600 V", 400.0, True),
        ("CAT IV 600 V", 800.0, False),
        ("CAT II 1000 V", 400.0, False),
    ],
)
def test_a_meter_covers_a_vehicle_battery_by_category_and_volts(rating, volts, covered):
    assert parse_meter_rating(rating).covers(volts) is covered


def test_the_weakest_part_decides():
    # IEC 61010-031: the lowest rating of meter, lead and accessory counts.
    parts = [MeterRating("IV", 600.0), MeterRating("III", 1000.0), MeterRating("II", 1000.0)]
    assert weakest(parts) == MeterRating("II", 600.0)
    assert weakest(parts[:2]) == MeterRating("III", 600.0)
    assert weakest(parts[:1]) == parts[0]
    with pytest.raises(ValueError, match="at least one"):
        weakest([])


def test_categories_rise_and_category_one_is_gone():
    assert METER_CATEGORIES == ("II", "III", "IV")
