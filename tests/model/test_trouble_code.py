from __future__ import annotations

import re
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from obdii.parsers.dtc import DTC

from authorkit.model.trouble_code import CodeError, TroubleCode, from_bytes, parse_trouble_code

# Pairs printed in public excerpts of ISO 15031-5/-6 and SAE J2012; 0143 is the worked example of ISO 15031-5.
TWO_BYTES = {
    "01 43": "P0143",
    "01 17": "P0117",
    "0A 0D": "P0A0D",
    "0A A6": "P0AA6",
    "12 34": "P1234",
    "21 35": "P2135",
    "34 00": "P3400",
    "40 31": "C0031",
    "5A 00": "C1A00",
    "80 39": "B0039",
    "90 00": "B1000",
    "BF FF": "B3FFF",
    "C0 73": "U0073",
    "C1 00": "U0100",
    "C1 58": "U0158",
    "FF FF": "U3FFF",
    "00 00": "P0000",
}
# Worked examples with a failure type in public excerpts of SAE J2012-DA; the dash is common practice.
THREE_BYTES = {
    "01 27 00": "P0127-00",
    "80 39 01": "B0039-01",
    "40 31 23": "C0031-23",
    "C0 73 04": "U0073-04",
    "90 00 16": "B1000-16",
}


@pytest.mark.parametrize(("data", "text"), [*TWO_BYTES.items(), *THREE_BYTES.items()])
def test_published_examples_read_both_ways(data: str, text: str):
    assert str(from_bytes(bytes.fromhex(data))) == text
    assert parse_trouble_code(text).to_bytes() == bytes.fromhex(data)


def test_all_65536_values_come_back_and_agree_with_py_obdii():
    # Independent reference: py-obdii (MIT), which decodes the two bytes by its own code.
    for number in range(0x10000):
        data = number.to_bytes(2, "big")
        code = from_bytes(data)
        assert code.text == DTC.from_bytes(data[0], data[1]).code
        assert code.number == number
        assert code.to_bytes() == data
        assert parse_trouble_code(str(code)) == code


@given(st.integers(0, 0xFFFFFF))
def test_three_bytes_come_back(number: int):
    data = number.to_bytes(3, "big")
    assert parse_trouble_code(str(from_bytes(data))).to_bytes() == data


@pytest.mark.parametrize("data", [b"", b"\x01", b"\x01\x18\x17\x00"])
def test_other_lengths_of_bytes_are_refused(data: bytes):
    with pytest.raises(CodeError, match="two bytes, or three"):
        from_bytes(data)


@pytest.mark.parametrize(
    ("text", "expected", "suggestion"),
    [
        ("p0118", "capital letters", "P0118"),
        ("P0a0d", "capital letters", "P0A0D"),
        ("PO118", "0, 1, 2 or 3 as the second character, not 'O'", "P0118"),
        ("P01I8", "three digits of 0 to 9 or A to F", "P0118"),
        ("P4118", "0, 1, 2 or 3 as the second character, not '4'", None),
        ("P0G00", "three digits of 0 to 9 or A to F", None),
        ("X0118", "P, C, B or U as the first letter, not 'X'", None),
        ("P118", "five characters such as P0118, not 4", None),
        ("P01180", "five characters such as P0118, not 6", None),
        ("", "five characters such as P0118, not 0", None),
        (" P0118", "five characters", "P0118"),
        ("P0118\n", "five characters", "P0118"),
        ("P0118:17", "five characters", "P0118-17"),
        ("P0118 1c", "capital letters", "P0118-1C"),
        ("P0118-1c", "two digits of 0 to 9 or A to F, in capitals, after the dash", "P0118-1C"),
        ("P0118-", "two digits", "P0118"),
        ("P0118-7", "two digits", None),
        ("P0118-0x17", "two digits", None),
        ("Ｐ0118", "P, C, B or U", None),
        ("P011８", "three digits", None),
    ],
)
def test_a_malformed_code_says_what_is_wrong_and_suggests_only_what_is_safe(text, expected, suggestion):
    with pytest.raises(CodeError) as caught:
        parse_trouble_code(text)
    assert caught.value.found == text
    assert expected in caught.value.expected
    assert caught.value.suggestion == suggestion
    if suggestion:
        assert f"did you mean '{suggestion}'?" in str(caught.value)


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_with_a_readable_suggestion(text: str):
    try:
        assert str(parse_trouble_code(text)) == text
    except CodeError as error:
        if error.suggestion is not None:
            parse_trouble_code(error.suggestion)


def test_a_code_built_by_hand_is_checked_as_well():
    with pytest.raises(CodeError, match="did you mean 'P0118'"):
        TroubleCode("p0118")
    with pytest.raises(CodeError, match="00 to FF"):
        TroubleCode("P0118", 256)


# Ranges from public excerpts of SAE J2012 / ISO 15031-6. P3A00 and up: sources differ, taken as ISO/SAE.
@pytest.mark.parametrize(
    ("text", "owner"),
    [
        ("P0118", "iso-sae"),
        ("P0FFF", "iso-sae"),
        ("P1000", "manufacturer"),
        ("P2135", "iso-sae"),
        ("P3000", "manufacturer"),
        ("P33FF", "manufacturer"),
        ("P3400", "iso-sae"),
        ("P3A00", "iso-sae"),
        ("C0031", "iso-sae"),
        ("C1A00", "manufacturer"),
        ("C2000", "manufacturer"),
        ("C3000", "reserved"),
        ("B0001", "iso-sae"),
        ("B1000", "manufacturer"),
        ("B2FFF", "manufacturer"),
        ("B3000", "reserved"),
        ("U0100", "iso-sae"),
        ("U1000", "manufacturer"),
        ("U2000", "manufacturer"),
        ("U3FFF", "iso-sae"),
    ],
)
def test_each_range_has_its_owner(text, owner):
    assert TroubleCode(text).owner == owner


def test_the_owners_share_out_all_codes():
    # By hand: maker P1, P30 to P33 and six ranges of 4096; reserved C3 and B3; ISO/SAE the rest.
    owners = Counter(from_bytes(number.to_bytes(2, "big")).owner for number in range(0x10000))
    maker = 4096 + 4 * 256 + 6 * 4096
    assert owners == {"manufacturer": maker, "reserved": 2 * 4096, "iso-sae": 65536 - maker - 2 * 4096}


@pytest.mark.parametrize(
    ("text", "meaning"),
    [("P0118", "powertrain"), ("C0031", "chassis"), ("B0001", "body"), ("U0100", "network")],
)
def test_the_letter_names_the_part_of_the_vehicle(text, meaning):
    assert TroubleCode(text).letter_meaning == meaning


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("P0118", "fuel and air metering"),
        ("P0301", "ignition system or misfire"),
        ("P0A0D", "hybrid propulsion"),
        ("P2135", "fuel and air metering"),
        ("U0100", "lost communication"),
        ("U0401", "invalid data received"),
    ],
)
def test_the_group_is_marked_as_guidance(text, label):
    assert TroubleCode(text).group_label == f"{label} (guidance only)"


@pytest.mark.parametrize("text", ["P1118", "P3400", "P0D00", "C0031", "B0001", "U0073"])
def test_no_group_is_claimed_where_none_is_known(text):
    assert TroubleCode(text).group_label is None


def test_the_owner_sentence_names_the_code_and_differs_by_owner():
    sentences = [TroubleCode(text).owner_sentence for text in ("P0118", "P1118", "C3118")]
    assert "ISO and SAE" in sentences[0]
    assert "vehicle maker" in sentences[1]
    assert "reserve" in sentences[2]
    assert all(re.fullmatch(r"[PC]\d{4} is .+\.", sentence) for sentence in sentences)


def test_codes_sort_as_in_an_index():
    in_order = ["B0001", "P0117", "P0118", "P0118-00", "P0118-17", "U0100"]
    codes = [parse_trouble_code(text) for text in ("U0100", "P0118-17", *in_order[:4])]
    assert [str(code) for code in sorted(codes)] == in_order
    assert parse_trouble_code("P0118") >= parse_trouble_code("P0117")
    with pytest.raises(TypeError):
        _ = parse_trouble_code("P0118") < "P0119"


def test_p0000_is_padding_and_nothing_else_is():
    assert TroubleCode("P0000").is_padding
    assert not TroubleCode("P0001").is_padding
    assert not TroubleCode("U0000").is_padding
