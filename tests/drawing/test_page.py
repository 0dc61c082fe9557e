"""Pages: which type size fits, and the frame of a picture."""

from __future__ import annotations

import pytest

from authorkit.drawing.page import (
    LANDSCAPE_MM,
    PORTRAIT_MM,
    RIM,
    box_of,
    fits_somewhere,
    fitting,
    fitting_all,
    framed,
    signed,
)
from authorkit.drawing.shapes import Scene, Words, rectangle


def scene(width: float, height: float) -> Scene:
    return Scene((), width, height)


@pytest.mark.parametrize(
    ("size", "fit"),
    [
        ((160.0, 200.0), (9.0, False)),
        ((185.0, 100.0), (8.0, False)),
        ((218.0, 100.0), (7.0, False)),
        ((230.0, 100.0), (9.0, True)),
        ((300.0, 100.0), (7.0, True)),
    ],
)
def test_upright_in_any_size_comes_before_a_page_on_its_side(size, fit):
    assert fitting(scene(*size)) == fit
    assert fits_somewhere(scene(*size))


def test_what_fits_no_page_is_said_so():
    assert not fits_somewhere(scene(400.0, 400.0))


def test_several_scenes_take_the_size_at_which_all_fit():
    assert fitting_all([scene(160.0, 100.0), scene(185.0, 100.0)]) == (8.0, False)
    assert fitting_all([scene(160.0, 100.0), scene(230.0, 100.0)]) == (9.0, True)


def test_a_frame_cuts_out_its_shapes_whatever_their_origin():
    shapes = [rectangle((-12.0, 30.0), (8.0, 40.0), "frame")]
    made = framed(shapes, box_of(shapes))
    assert box_of(made.shapes)[:2] == pytest.approx((RIM, RIM))
    assert made.width == pytest.approx(20.0 + 2 * RIM)


def test_notes_have_their_room_below_and_never_lie_over_the_shapes():
    shapes = [rectangle((0.0, 0.0), (30.0, 40.0), "frame")]
    made = signed(framed(shapes, box_of(shapes), notes=2), ("one", "two", "Wire: circuit, colour, size"))
    words = [shape for shape in made.shapes if isinstance(shape, Words)]
    assert [shape.text for shape in words] == ["Wire: circuit, colour, size", "two", "one"]
    assert all(box[1] > 40.0 and box[3] <= made.height for shape in words for box in [box_of([shape])])
    assert made.width > 31.6  # as wide as its legend


def test_the_pages_are_those_of_a4_and_us_letter_less_their_margins():
    """A4 is 210 by 297 mm (ISO 216), US Letter 215.9 by 279.4 mm (ANSI/ASME Y14.1): the text must fit both."""
    assert PORTRAIT_MM[0] < 210.0
    assert PORTRAIT_MM[1] < 279.4
    assert LANDSCAPE_MM[0] < 279.4
    assert LANDSCAPE_MM[1] < 210.0
