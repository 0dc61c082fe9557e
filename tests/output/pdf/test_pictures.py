"""What is wrong with a picture, before the typesetter prints it wrong without a word."""

from __future__ import annotations

import pytest

from authorkit.drawing.font import font_folder
from authorkit.output.pdf.faces import load_faces
from authorkit.output.pdf.pictures import picture_faults
from tests.output.sample_pictures import circuit_svg, formula, photograph

FACES = load_faces(font_folder())
EXPECTED = "expected 'Liberation Mono' or 'Liberation Sans'."


def svg(inside: str, **attributes: str) -> bytes:
    more = "".join(f' {name.replace("_", "-")}="{value}"' for name, value in attributes.items())
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"{more}>{inside}</svg>'.encode()


def faults(data: bytes, media: str = "svg", alt: str = "a circuit") -> list[str]:
    return list(picture_faults(data, media, alt, FACES))


@pytest.mark.parametrize(
    ("data", "media"),
    [
        (circuit_svg(100, 50), "svg"),
        (formula().svg, "svg"),
        (photograph(4, 3), "png"),
        (svg("<path d='M0 0H9'/>"), "svg"),
        (svg("<text>x</text>", font_family="'Liberation Sans', sans-serif"), "svg"),
        (svg('<text style="font: bold 10px \'Liberation Sans\', Arial">x</text>'), "svg"),
        (svg("<style>text { font-family: Liberation Mono; }</style><text>x</text>"), "svg"),
        (svg('<g style="font-family:Arial"><text font-family="Liberation Sans">x</text></g>'), "svg"),
        (svg('<use href="#a"/><image href="data:image/png;base64,AA=="/>'), "svg"),
    ],
)  # fmt: skip
def test_a_sound_picture_has_no_fault(data: bytes, media: str) -> None:
    assert faults(data, media) == []


@pytest.mark.parametrize(
    ("data", "asked"),
    [
        (svg("<text>x</text>"), "no font by name"),
        (svg("<text>x</text>", font_family="Arial, 'Liberation Sans'"), "'Arial'"),
        (svg('<g font-family="sans-serif"><text>x</text></g>'), "'sans-serif'"),
        (svg('<text style="font: 10px DejaVu Sans">x</text>'), "'DejaVu Sans'"),
        (svg("<style>text{font-family:Verdana}</style><text>x</text>"), "'Verdana'"),
    ],
)
def test_text_in_another_font_is_a_fault(data: bytes, asked: str) -> None:
    assert faults(data) == [f"has text that asks for {asked}; {EXPECTED}"]


def test_a_sign_without_a_glyph_is_a_fault() -> None:
    assert faults(svg("<text>5 ☃</text>", font_family="Liberation Sans")) == [
        "has the sign '☃' (U+2603), which Liberation Sans has not."
    ]


def test_a_fault_that_many_texts_share_is_told_once() -> None:
    assert len(faults(svg("<text>x</text><text>y</text>", font_family="Arial"))) == 1


@pytest.mark.parametrize(
    ("data", "media", "fault"),
    [
        (b"<svg", "svg", "is not readable as SVG: unclosed token: line 1, column 0."),
        (b"<html/>", "svg", "is not an SVG drawing."),
        (svg('<image href="/etc/passwd"/>'), "svg", "takes in another file; a drawing must hold everything itself."),
        (b"GIF89a", "png", "is not a PNG file, although it says so."),
        (b"GIF89a", "gif", "is of the kind 'gif'; expected svg or png."),
    ],
)
def test_a_picture_that_is_none_is_a_fault(data: bytes, media: str, fault: str) -> None:
    assert faults(data, media) == [fault]


def test_a_picture_needs_words() -> None:
    assert faults(circuit_svg(100, 50), alt="  ") == ["has no words that say what it shows."]
