from __future__ import annotations

from authorkit.drawing.labels import Obstacles, Task, boxes_of, place_all, text_box, wire_places
from authorkit.drawing.shapes import Arc, Circle, Library, Path, Words, rectangle

WIRE = ((10.0, 20.0), (60.0, 20.0))


def placed(obstacles, points=WIRE, parts=("K131", "BU/WH 0.5")):
    task = Task(tuple(wire_places(points, " ".join(parts), parts)))
    return place_all([task], obstacles)


def test_a_free_wire_has_its_label_above_its_middle():
    (words,), crowded = placed(Obstacles())
    assert (words.text, words.x, words.anchor) == ("K131 BU/WH 0.5", 35.0, "middle")
    assert words.y < 20.0
    assert crowded == 0


def test_a_label_slides_along_its_wire_to_clear_a_crossing_line():
    (words,), crowded = placed(Obstacles([(36.0, 0.0, 36.0, 40.0)]))
    left, _, right, _ = text_box(words)
    assert right < 36.0 or left > 36.0
    assert crowded == 0


def test_a_label_goes_below_where_there_is_no_room_above():
    (words,), _ = placed(Obstacles([(0.0, 10.0, 80.0, 19.5)]))
    assert words.y > 20.0


def test_a_label_too_long_for_its_wire_is_broken_in_two():
    lines, crowded = placed(Obstacles(), ((10.0, 20.0), (30.0, 20.0)))
    assert [words.text for words in lines] == ["K131", "BU/WH 0.5"]
    assert lines[0].y < 20.0 < lines[1].y
    assert crowded == 0


def test_a_label_that_fits_nowhere_is_counted():
    _, crowded = placed(Obstacles([(0.0, 0.0, 100.0, 60.0)]))
    assert crowded == 1


def test_labels_keep_clear_of_each_other():
    obstacles = Obstacles()
    first, _ = placed(obstacles)
    second, crowded = placed(obstacles)
    assert crowded == 0
    a, b = text_box(first[0]), text_box(second[0])
    assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_the_task_with_least_room_is_placed_first():
    obstacles = Obstacles()
    narrow = Task(((Words("narrow", 10.0, 10.0),),), weight=0.0)
    wide = Task(((Words("wide", 10.0, 10.0),), (Words("wide", 10.0, 30.0),)), weight=5.0)
    words, crowded = place_all([wide, narrow], obstacles)
    assert {each.text: each.y for each in words} == {"narrow": 10.0, "wide": 30.0}
    assert crowded == 0


def test_a_frame_is_an_obstacle_only_along_its_edges():
    boxes = list(boxes_of(rectangle((0.0, 0.0), (50.0, 30.0), "frame")))
    assert len(boxes) == 4
    assert all(box[0] == box[2] or box[1] == box[3] for box in boxes)


def test_every_shape_takes_room():
    shapes = (
        Path(((0.0, 0.0), (5.0, 0.0)), "wire"),
        Circle((3.0, 3.0), 1.0, "dot"),
        Arc((3.0, 3.0), 2.0, 2.0, (0.0, 90.0), "symbol"),
        Library("resistor", (0.0, 0.0), (9.0, 0.0), 5.5),
        Words("A", 1.0, 1.0),
    )
    assert all(list(boxes_of(shape)) for shape in shapes)
