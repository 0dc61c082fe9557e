"""The checkers find what is wrong: a sound picture is damaged in one way at a time."""

from __future__ import annotations

import re

import pytest

from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.inspect import bends, crossings, inspect_joins, inspect_print, inspect_texts
from authorkit.drawing.pen import render
from authorkit.drawing.shapes import Circle, Path, Scene, Words, rectangle
from tests.drawing.written import circuit

WIRING = circuit("04-fan-relay")
TWISTED = circuit("05-motor")
SHIELDED = draw_circuit(TWISTED)[0][0].svg.decode()
SOUND = draw_circuit(WIRING)[0][0].svg.decode()


def joins(svg, wiring=WIRING):
    return inspect_joins([svg.encode()], wiring)


def without(pattern, svg=SOUND):
    """The picture without the first element that matches."""
    damaged, count = re.subn(pattern, "", svg, count=1)
    assert count == 1
    return damaged


def drawn(*shapes):
    return render(Scene(shapes, 100.0, 60.0))


def test_a_sound_picture_passes():
    assert joins(SOUND) == []
    assert inspect_texts(SOUND.encode()) == []
    assert inspect_print(SOUND.encode()) == []


def test_a_missing_wire_is_named():
    damaged = without(r'<path [^>]*class="wire" [^>]*/>')
    assert any("is not drawn (1 missing)" in sentence for sentence in joins(damaged))


def test_a_wire_that_was_never_declared_is_named():
    wire = re.search(r'<path [^>]*class="wire" [^>]*/>', SOUND).group()
    found = joins(SOUND.replace(wire, wire + wire))
    assert any("too many" in sentence for sentence in found)
    assert any("run over each other" in sentence for sentence in found)


def test_a_missing_dot_leaves_branches_in_the_air():
    damaged = without(r'<circle [^>]*class="dot"[^>]*/>')
    assert any("ends in the air" in sentence for sentence in joins(damaged))
    assert any("S50 is not drawn" in sentence for sentence in joins(damaged))


def test_a_dot_where_nothing_ends_is_a_false_splice():
    dot = re.search(r'<circle [^>]*class="dot"[^>]*/>', SOUND).group()
    moved = re.sub(r'cx="[^"]+"', 'cx="3"', dot)
    assert any("stands where no wire ends" in sentence for sentence in joins(SOUND.replace(dot, dot + moved)))


def test_a_swapped_cavity_number_is_a_wrong_join():
    swapped = SOUND.replace('data-node="K5.85"', 'data-node="@"').replace('data-node="K5.86"', 'data-node="K5.85"')
    found = joins(swapped.replace('data-node="@"', 'data-node="K5.86"'))
    assert any("from FB1-C.5 to K5.86 is not drawn" in sentence for sentence in found)


@pytest.mark.parametrize(
    ("pattern", "message"),
    [
        (r'<polygon [^>]*data-node="A2" />', "Part A2 is not drawn."),
        (r'<text [^>]*data-node="A1\.1"[^>]*>[^<]*</text>', "Cavity A1.1 is not drawn."),
        (r"<text [^>]*>FB1-C</text>", "The name of connector FB1-C is not printed."),
        (r"<text [^>]*>N52 BN/OG 0.5</text>", "The circuit name N52 is not printed."),
    ],
)
def test_what_is_declared_and_not_shown_is_named(pattern, message):
    assert message in joins(without(pattern))


def test_a_wire_under_another_name_is_a_wrong_join():
    found = joins(SOUND.replace('data-node="N52"', 'data-node="N53"'))
    assert any("The wire N52 from" in sentence and "is not drawn" in sentence for sentence in found)
    assert any("A wire N53 from" in sentence and "too many" in sentence for sentence in found)


@pytest.mark.parametrize(
    ("pattern", "message"),
    [
        (r'<\w+ [^>]*data-node="motor A1\.1 A1\.2" />', "The motor inside A1 (A1.1, A1.2) is not drawn."),
        (r'<\w+ [^>]*data-node="coil K5\.86 K5\.85" />', "The coil inside K5 (K5.86, K5.85) is not drawn."),
        (r"<text [^>]*>F21 [^<]*</text>", "The name of fuse F21 10\u202fA is not printed."),
        (r"<text [^>]*>S50</text>", "The name of splice S50 is not printed."),
        (r"<text [^>]*>G3[^<]*</text>", "The name of ground G3 is not printed."),
    ],
)
def test_a_device_or_a_name_that_is_not_shown_is_named(pattern, message):
    damaged, count = re.subn(pattern, "", SOUND)
    assert count
    assert message in joins(damaged)


@pytest.mark.parametrize(
    ("pattern", "message"),
    [
        (r'<path [^>]*data-node="R1 R2" />', "No mark shows that R1 and R2 are twisted together."),
        (r'<polygon [^>]*class="shield"[^>]*/>', "No box shows the shield around R1 R2 R3 R4 R5 R6."),
        (
            r'<path [^>]*class="drain"[^>]*/>',
            "The drain wire R9 is not joined to the shield around R1 R2 R3 R4 R5 R6.",
        ),
    ],
)
def test_a_twisted_pair_a_shield_and_a_drain_that_are_not_shown_are_named(pattern, message):
    assert joins(SHIELDED, TWISTED) == []
    damaged, count = re.subn(pattern, "", SHIELDED)
    assert count
    assert message in joins(damaged, TWISTED)


def test_a_mark_around_other_wires_is_no_mark_of_the_pair():
    swapped = SHIELDED.replace('data-node="R1 R2"', 'data-node="@"').replace('data-node="R3 R4"', 'data-node="R1 R2"')
    found = joins(swapped.replace('data-node="@"', 'data-node="R3 R4"'), TWISTED)
    assert "The mark of the twisted pair R1 R2 does not wind around R1." in found
    assert "The mark of the twisted pair R3 R4 does not wind around R4." in found


def test_two_wires_that_touch_without_a_dot_are_found():
    svg = drawn(Path(((10.0, 20.0), (50.0, 20.0)), "wire"), Path(((30.0, 20.0), (30.0, 40.0)), "wire"))
    assert any("touch at 30.0, 20.0 mm" in sentence for sentence in inspect_joins([svg], WIRING))


def test_two_wires_that_cross_are_counted_and_not_a_fault():
    svg = drawn(Path(((10.0, 20.0), (50.0, 20.0)), "wire"), Path(((30.0, 10.0), (30.0, 40.0)), "wire"))
    assert crossings(svg) == 1
    assert not any("touch" in sentence for sentence in inspect_joins([svg], WIRING))


def test_a_wire_over_a_splice_bar_is_counted_as_a_crossing():
    svg = drawn(Path(((10.0, 20.0), (50.0, 20.0)), "wire"), Path(((30.0, 10.0), (30.0, 40.0)), "bar", node="S1"))
    assert crossings(svg) == 1


def test_a_branch_without_a_dot_on_a_bar_is_found():
    bar = Path(((30.0, 10.0), (30.0, 40.0)), "bar", node="S1")
    svg = drawn(bar, Path(((30.0, 20.0), (50.0, 20.0)), "wire"))
    assert "A wire ends at the bar of S1 without a dot." in inspect_joins([svg], WIRING)


def test_a_wire_that_passes_through_a_dot_is_found():
    svg = drawn(
        Path(((10.0, 20.0), (50.0, 20.0)), "wire"),
        Path(((30.0, 20.0), (30.0, 40.0)), "wire"),
        Circle((30.0, 20.0), 0.9, "dot", fill="black", node="S1"),
    )
    assert any("passes through the dot of S1" in sentence for sentence in inspect_joins([svg], WIRING))


def test_boxes_over_each_other_are_found():
    svg = drawn(
        rectangle((10.0, 10.0), (30.0, 30.0), "frame", node="M1"),
        rectangle((20.0, 20.0), (40.0, 40.0), "frame", node="M2"),
    )
    assert "The boxes of M1 and M2 lie over each other." in inspect_joins([svg], WIRING)


def test_a_wire_through_a_box_is_found():
    svg = drawn(rectangle((10.0, 10.0), (30.0, 30.0), "frame", node="M1"), Path(((5.0, 20.0), (40.0, 20.0)), "wire"))
    assert "A wire runs through the box of M1." in inspect_joins([svg], WIRING)


def test_text_on_text_is_found_and_text_beside_text_is_not():
    assert inspect_texts(drawn(Words("ECT SIG", 10.0, 20.0), Words("GND", 12.0, 21.0)))
    assert inspect_texts(drawn(Words("ECT SIG", 10.0, 20.0), Words("GND", 10.0, 25.0))) == []


def test_text_on_a_line_is_found_by_the_ink_not_by_the_line_of_type():
    line = Path(((5.0, 20.4), (60.0, 20.4)), "wire")
    assert inspect_texts(drawn(Words("ECT", 10.0, 20.0), line)) == []  # no letter hangs below the line of type
    assert inspect_texts(drawn(Words("gyp", 10.0, 20.0), line)) == ["'gyp' lies over a line (wire)."]


def test_text_on_a_slanted_line_is_found():
    assert inspect_texts(drawn(Words("ECT", 10.0, 20.0), Path(((8.0, 10.0), (18.0, 24.0)), "symbol")))
    assert inspect_texts(drawn(Words("ECT", 10.0, 20.0), Path(((8.0, 2.0), (10.0, 14.0)), "symbol"))) == []


def test_text_on_a_dot_is_found():
    dot = Circle((12.0, 19.0), 0.9, "dot", fill="black", node="S1")
    assert inspect_texts(drawn(Words("ECT", 10.0, 20.0), dot)) == ["'ECT' lies over a dot."]


def test_text_beyond_the_rim_is_found():
    assert inspect_texts(drawn(Words("ECT", 98.0, 20.0))) == ["'ECT' reaches beyond the rim of the picture."]


def test_print_below_seven_points_is_found():
    small = render(Scene((Words("ECT", 10.0, 20.0),), 100.0, 60.0, size=6.9))
    assert inspect_print(small) == ["'ECT' is set in 6.9 pt."]
    assert inspect_print(render(Scene((Words("ECT", 10.0, 20.0),), 100.0, 60.0, size=7.0))) == []


def test_bends_are_corners():
    assert bends(drawn(Path(((1.0, 1.0), (5.0, 1.0), (5.0, 9.0), (9.0, 9.0)), "wire"))) == 2


def test_pictures_inside_a_shifted_group_are_read_where_they_are_shown():
    inner = drawn(Words("ECT", 98.0, 20.0)).decode()
    body = inner[inner.index(">") + 1 : inner.rindex("</svg>")]
    head = inner[: inner.index(">") + 1]
    shifted = f'{head}<g transform="translate(-200 0)">{body}</g></svg>'
    assert inspect_texts(shifted.encode()) == []
