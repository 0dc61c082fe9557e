"""How the width of a table is shared."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import typst
from hypothesis import given
from hypothesis import strategies as st

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Code, Emphasis, FactList, LineBreak, Link, Strong, Table, WebLink, words
from authorkit.output.pdf.faces import load_faces
from authorkit.output.pdf.part_sources import parts_of
from authorkit.output.pdf.tables import column_widths, name_width, reckoned_height, runs, text_area, text_width
from authorkit.output.pdf.typst_pages import write_sheets
from authorkit.output.pdf.typst_text import array, literal
from tests.output.sample_manual import sample_manual
from tests.output.sample_pictures import formula

FACES = load_faces(font_folder())
ROOM = text_width()


def table(*rows: tuple[str, ...], widths: tuple[float, ...] = ()) -> Table:
    cells = tuple(tuple(words(cell) for cell in row) for row in rows)
    return Table("", tuple("ABCDEFGH"[: len(rows[0])]), cells, widths=widths)


def test_the_columns_fill_the_text() -> None:
    widths = column_widths(table(("1", "2", "3")), FACES, ROOM)
    assert widths is not None
    assert sum(widths) == pytest.approx(ROOM)


def test_short_columns_get_what_they_need_and_the_long_one_the_rest() -> None:
    widths = column_widths(table(("M1-A.23", "word " * 80, "often")), FACES, ROOM)
    assert widths is not None
    assert widths[0] < 65
    assert widths[2] < 45
    assert widths[1] > 350
    assert sum(widths) == pytest.approx(ROOM)


def test_relative_widths_are_kept_when_every_word_fits() -> None:
    widths = column_widths(table(("a", "b", "c"), widths=(2, 1, 1)), FACES, ROOM)
    assert widths == pytest.approx((ROOM / 2, ROOM / 4, ROOM / 4))


def test_a_column_is_never_narrower_than_its_widest_word() -> None:
    widths = column_widths(table(("a", "M" * 20), widths=(99, 1)), FACES, ROOM)
    assert widths is not None
    assert widths[1] > FACES.regular.width("M" * 20, 9)
    assert sum(widths) == pytest.approx(ROOM)


def test_words_that_cannot_stand_side_by_side_have_no_widths() -> None:
    assert column_widths(table(("M" * 40, "M" * 40)), FACES, ROOM) is None


@given(st.lists(st.lists(st.text("ab ", max_size=90), min_size=3, max_size=3).map(tuple), min_size=1, max_size=5))
def test_any_table_is_as_wide_as_the_text_and_no_word_sticks_out(rows: list[tuple[str, ...]]) -> None:
    widths = column_widths(table(*rows), FACES, ROOM)
    longest = [max(len(word) for row in rows for word in (row[column].split() or [""])) for column in range(3)]
    if widths is None:
        assert sum(longest) * 5.5 + 30 > ROOM
    else:
        assert sum(widths) == pytest.approx(ROOM)
        assert all(width >= FACES.regular.width("a" * count, 9) for width, count in zip(widths, longest, strict=True))


def test_the_names_of_facts_have_a_column_of_sensible_width() -> None:
    short = FactList((("Time", words("1 h")),))
    long = FactList((("A name that is much longer than a name of a fact should be", words("x")),))
    assert name_width(short, FACES) == pytest.approx(30 * 72 / 25.4)
    assert name_width(long, FACES) == pytest.approx(55 * 72 / 25.4)


def test_runs_keep_codes_and_values_in_one_piece_and_leave_room_for_a_page_number() -> None:
    line = (
        *words("Read 4.9 V "),
        Strong(words("b")),
        Emphasis(words("e")),
        Code("ECT SIG"),
        Link("x", words("P0118"), page=True),
        WebLink("https://a.example", words("w")),
        LineBreak(),
    )
    found = list(runs(line, FACES.regular, FACES))
    assert "".join(text for text, _ in found) == (
        "Read 4.9\u00a0V beECT\u00a0SIGP0118, page\u00a00000w (https://a.example)\n"
    )
    assert [face.name for text, face in found if text.startswith("ECT")] == ["Liberation Mono"]


def test_a_picture_takes_its_width() -> None:
    ((text, face),) = runs((formula(),), FACES.regular, FACES)
    assert 68 <= face.width(text, 9) <= 76


@pytest.mark.parametrize("page_size", ["a4", "us-letter"])
def test_the_text_is_as_wide_on_either_sheet(page_size: str) -> None:
    width, height = text_area(page_size)
    assert width == 170
    assert 230 < height < 255


@pytest.mark.parametrize(
    "rows",
    [
        [("M1-A.23", "4.9 V", "key on")] * 9,
        [("K131", "word " * 40, "often")] * 4,
        [("a", "Read the voltage at the sensor and compare it with the table. " * 3, "x " * 30)] * 3,
        [("one", "two", "three")],
    ],
)
def test_the_reckoned_height_of_a_table_is_near_what_the_typesetter_makes_of_it(rows: list[tuple[str, ...]]) -> None:
    """Held against Typst, which measures the table as the theme draws it."""
    made = table(*rows)
    widths = column_widths(made, FACES, ROOM)
    assert widths is not None
    assert reckoned_height(made, widths, FACES) == pytest.approx(measured(made, widths), rel=0.12, abs=0.5)


def test_line_ends_and_pictures_make_a_table_taller() -> None:
    plain = table(("a", "b"))
    broken = Table("", ("A", "B"), (((*words("a"), LineBreak(), *words("a")), words("b")),))
    drawn = Table("", ("A", "B"), (((formula(),), words("b")),))
    low, middle, high = (reckoned_height(made, (100, 100), FACES) for made in (plain, broken, drawn))
    assert low < middle
    assert low < high


def measured(made: Table, widths: tuple[float, ...]) -> float:
    """The height in millimetres of the table as manual.typ sets it, by the typesetter's own measure."""
    head = array(literal(column) for column in made.columns)
    rows = array(array(literal(cell[0].text) for cell in row) for row in made.rows)  # type: ignore[union-attr]
    columns = array(f"{width}pt" for width in widths)
    aligned = array(["left"] * len(widths))
    source = f"""#import "manual.typ": *
#show: manual
#context {{
  set text(size: pt("table"))
  set par(leading: 0.5em)
  show table.cell.where(x: 0): it => if it.y > 0 {{ strong(it) }} else {{ it }}
  [#metadata(measure(width: {sum(widths)}pt, ruled({columns}, {aligned}, {head}, {rows})).height / 1mm)<height>]
}}"""
    with TemporaryDirectory() as folder:
        numbers = b'{"first": 1, "pages": {}, "measure": false}'
        files = {
            **parts_of(sample_manual(), write_sheets(sample_manual(), FACES), "a4")[0].files,
            "numbers.json": numbers,
        }
        for name, data in {**files, "main.typ": source.encode()}.items():
            (Path(folder) / name).write_bytes(data)
        fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(font_folder())])
        compiler = typst.Compiler(f"{folder}/main.typ", root=folder, font_paths=fonts, ignore_system_fonts=True)
        return float(compiler.query("<height>", field="value", one=True))
