from __future__ import annotations

import pytest

from authorkit.drawing.face import draw_face
from authorkit.drawing.inspect import inspect_print, inspect_texts
from authorkit.drawing.sheet import beside
from authorkit.drawing.svg_marks import read_marks
from authorkit.model.wiring import Connector
from authorkit.problems import Place

HERE = Place("vehicle.ipynb", 1, 5)


def plug(rows=(("1", "2", "3", "4"), ("5", "6", "7", "8")), **more):
    return Connector("X12", "", HERE, rows=rows, **more)


def cells(picture):
    """Cavity name → where its cell lies and how it is drawn."""
    marks = read_marks(picture.svg)
    return {line.node: line for line in marks.lines if line.role in ("cavity", "this-cavity")}


def columns(picture, row):
    found = cells(picture)
    return [name for _, name in sorted((found[name].box[0], name) for name in row)]


def test_every_cavity_stands_where_the_layout_puts_it():
    face = draw_face(plug(), {}, frozenset())
    assert columns(face, "1234") == ["1", "2", "3", "4"]
    found = cells(face)
    assert found["1"].box[1] == found["4"].box[1] < found["5"].box[1] == found["8"].box[1]
    assert found["1"].box[0] == found["5"].box[0]


def test_the_other_side_is_the_same_grid_mirrored_and_says_so():
    face = draw_face(plug(view="wire side"), {}, frozenset(), view="terminal side")
    assert columns(face, "1234") == ["4", "3", "2", "1"]
    assert "seen from the terminal side" in {text.text for text in read_marks(face.svg).texts}
    assert "terminal side" in face.alt


def test_a_short_row_keeps_its_place_when_mirrored():
    face = draw_face(plug(rows=(("1", "2", "3"), ("4",))), {}, frozenset(), view="terminal side")
    found = cells(face)
    assert found["4"].box[0] == found["1"].box[0] > found["3"].box[0]


def test_a_hole_in_the_grid_stays_empty():
    found = cells(draw_face(plug(rows=(("1", "", "2"),)), {}, frozenset()))
    assert set(found) == {"1", "2"}
    assert found["2"].box[0] - found["1"].box[0] > 1.8 * (found["1"].box[2] - found["1"].box[0])


def test_used_empty_and_this_circuit_differ_without_colour():
    face = draw_face(plug(), {"1": "ECT SIG", "2": "GND"}, frozenset({"1"}))
    svg = face.svg.decode()
    found = cells(face)
    assert found["1"].role == "this-cavity"
    assert found["1"].weight > 2 * found["2"].weight
    assert svg.count("#d9d9d9") == 2  # both used ones are grey
    slashes = read_marks(face.svg).of("slash")
    assert len(slashes) == 2 * 6  # two strokes in each of the six empty ones


@pytest.mark.parametrize(("key", "axis", "sign"), [("top", 1, -1), ("bottom", 1, 1), ("left", 0, -1), ("right", 0, 1)])
def test_the_key_stands_out_on_its_side(key, axis, sign):
    lines = read_marks(draw_face(plug(key=key), {}, frozenset()).svg).of("face")
    shell = next(line for line in lines if line.closed)
    ridge = next(line for line in lines if not line.closed)
    edge = shell.box[axis] if sign < 0 else shell.box[axis + 2]
    reach = ridge.box[axis] if sign < 0 else ridge.box[axis + 2]
    assert (reach - edge) * sign > 1.0


@pytest.mark.parametrize(("lock", "axis", "sign"), [("top", 1, -1), ("bottom", 1, 1), ("left", 0, -1), ("right", 0, 1)])
@pytest.mark.parametrize("key", ["", "top", "left"])
@pytest.mark.parametrize("shape", ["rectangular", "round"])
def test_the_lock_is_a_black_tab_outside_of_shell_and_key(lock, axis, sign, key, shape):
    face = draw_face(plug(lock=lock, key=key, shape=shape), {}, frozenset())
    marks = read_marks(face.svg)
    (tab,) = marks.of("lock")
    shell = next((line.box for line in marks.of("face") if line.closed), None)
    if shape == "round":
        (circle,) = (mark for mark in marks.rounds if mark.role == "face")
        (x, y), r = circle.centre, circle.radius
        shell = (x - r, y - r, x + r, y + r)
    ridges = [line.box for line in marks.of("face") if not line.closed]
    outer = [shell, *(ridges if lock == key else [])]
    edge = min(box[axis] for box in outer) if sign < 0 else max(box[axis + 2] for box in outer)
    near, far = (tab.box[axis + 2], tab.box[axis]) if sign < 0 else (tab.box[axis], tab.box[axis + 2])
    assert near == pytest.approx(edge, abs=0.01)
    assert (far - near) * sign > 0.8
    assert 'class="lock"' in face.svg.decode()
    assert f"lock at the {lock}" in face.alt
    assert inspect_texts(face.svg) == []


def test_larger_terminals_have_larger_cavities_that_keep_clear_of_the_others():
    face = draw_face(plug(large=("1", "6")), {"1": "B+"}, frozenset({"1"}))
    found = cells(face)
    width = {name: cell.box[2] - cell.box[0] for name, cell in found.items()}
    assert width["1"] == pytest.approx(width["6"], abs=0.01)
    assert width["2"] == pytest.approx(width["3"], abs=0.01)
    assert width["1"] > 1.4 * width["2"]
    boxes = [cell.box for cell in found.values()]
    for number, a in enumerate(boxes):
        for b in boxes[number + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
    assert "For larger terminals: 1, 6." in face.alt
    mirrored = cells(draw_face(plug(large=("1", "6")), {}, frozenset(), view="terminal side"))
    assert mirrored["1"].box[0] > mirrored["4"].box[0]
    alone = cells(draw_face(plug(rows=(("1",),), large=("1",)), {}, frozenset()))["1"].box
    assert alone[2] - alone[0] == pytest.approx(alone[3] - alone[1], abs=0.01)


def test_the_key_changes_sides_with_the_view():
    face = draw_face(plug(key="left"), {}, frozenset(), view="terminal side")
    assert "key at the right" in face.alt


def test_a_round_connector_is_round_and_holds_its_cavities():
    face = draw_face(plug(rows=(("1", "2"), ("3", "4", "5"), ("6", "7")), shape="round"), {}, frozenset("3"))
    marks = read_marks(face.svg)
    shell = next(mark for mark in marks.rounds if mark.role == "face")
    for cell in cells(face).values():
        for x, y in cell.points:
            assert (x - shell.centre[0]) ** 2 + (y - shell.centre[1]) ** 2 < shell.radius**2
    assert face.alt.startswith("Round connector X12")


@pytest.mark.parametrize("count", [2, 16, 30, 48, 90])
def test_a_wide_connector_stays_on_the_page_in_print_that_can_be_read(count):
    rows = (tuple(str(number) for number in range(1, count + 1)),)
    face = draw_face(plug(rows=rows), {"1": "A"}, frozenset("1"))
    assert face.width_mm <= 170.0
    assert inspect_print(face.svg) == []
    assert inspect_texts(face.svg) == []
    assert len(cells(face)) == count


def test_names_that_markup_would_eat_are_printed():
    connector = Connector("R&D $1", "", HERE, rows=(("A1/2", "<b>"),), colour="GY")
    face = draw_face(connector, {"A1/2": "T < 5 & $x$"}, frozenset({"A1/2"}))
    texts = {text.text for text in read_marks(face.svg).texts}
    assert {"R&D $1", "A1/2", "<b>", "A1/2  T < 5 & $x$", "grey"} <= texts


def test_a_connector_without_layout_gives_its_name_and_no_cells():
    face = draw_face(plug(rows=()), {}, frozenset())
    assert cells(face) == {}
    assert "X12" in {text.text for text in read_marks(face.svg).texts}


def test_the_description_names_every_row_and_what_this_circuit_uses():
    face = draw_face(plug(), {"1": "ECT SIG", "2": ""}, frozenset({"1"}))
    assert "Row 1 from left to right: 1, 2, 3, 4." in face.alt
    assert "Of this circuit: 1 (ECT SIG)." in face.alt
    assert "Also used: 2." in face.alt


def test_faces_stand_side_by_side_unscaled_in_rows_that_fit():
    faces = [draw_face(plug(), {}, frozenset()) for _ in range(9)]
    sheets = beside(faces, 170.0)
    assert 1 < len(sheets) < 9
    assert all(sheet.width_mm <= 170.0 for sheet in sheets)
    assert sum(len(read_marks(sheet.svg).of("cavity")) for sheet in sheets) == 9 * 8
    for sheet in sheets:
        assert inspect_texts(sheet.svg) == []


def test_the_same_facts_give_the_same_bytes():
    assert draw_face(plug(), {"1": "A"}, frozenset("1")) == draw_face(plug(), {"1": "A"}, frozenset("1"))
