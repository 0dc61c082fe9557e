from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont

from authorkit.drawing.font import CAP_HEIGHT, font_folder, missing_glyphs, printable, text_width

FILES = [
    "LiberationMono-Bold.ttf",
    "LiberationMono-Regular.ttf",
    "LiberationSans-Bold.ttf",
    "LiberationSans-BoldItalic.ttf",
    "LiberationSans-Italic.ttf",
    "LiberationSans-Regular.ttf",
]


def test_all_faces_are_shipped_with_their_licence():
    assert sorted(path.name for path in font_folder().iterdir()) == sorted([*FILES, "LICENCE.txt"])
    licence = (font_folder() / "LICENCE.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "Reserved Font Name Liberation" in licence


@pytest.mark.parametrize("name", FILES)
def test_a_font_file_says_itself_that_it_is_under_that_licence(name):
    with TTFont(font_folder() / name) as font:
        assert "SIL Open Font License, Version 1.1" in font["name"].getDebugName(13)


@pytest.mark.parametrize(
    ("letter", "thousandths"),
    # Advance widths of Helvetica, in thousandths of the type size, from Adobe's published metrics of the 14 standard
    # PostScript fonts (Helvetica.afm); the font shipped here is made to the same widths. Copied from memory.
    [("A", 667), ("0", 556), (" ", 278), ("W", 944), ("i", 222), ("m", 833), ("M", 833), (".", 278), ("%", 889)],
)
def test_widths_agree_with_the_published_metrics_of_helvetica(letter, thousandths):
    assert text_width(letter, 1000.0) == pytest.approx(thousandths, abs=1.0)


def test_width_grows_with_the_type_size_and_is_greater_in_bold():
    assert text_width("K131 BU/WH 0.5", 18.0) == pytest.approx(2 * text_width("K131 BU/WH 0.5", 9.0))
    assert text_width("K131", 9.0, bold=True) > text_width("K131", 9.0)


def test_height_of_capitals_is_that_of_the_outlines():
    with TTFont(font_folder() / "LiberationSans-Regular.ttf") as font:
        glyph = font["glyf"]["H"]
        assert glyph.yMax / font["head"].unitsPerEm == pytest.approx(CAP_HEIGHT, abs=0.005)


def test_the_signs_of_the_trade_are_in_the_font():
    assert missing_glyphs("Ωµ°−±²³·→äöüßé&$<>▲►½…–") == ""
    assert missing_glyphs("Ωµ°−±²³·→äöüßé&$<>▲►½…–", bold=True) == ""
    assert missing_glyphs("5 V 電") == "電"


def test_printed_text_has_one_line_and_spaces_that_every_font_has():
    assert printable("2.2\u202fkΩ\u00a0±\u00a01\u202f%") == "2.2\u00a0kΩ\u00a0±\u00a01\u00a0%"
    assert printable("two\nlines\x07") == "two lines"
