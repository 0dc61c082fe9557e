"""Marks of twisted pairs and shields: where they stand, where they must not, and the words where they find no room."""

from __future__ import annotations

import pytest

from authorkit.drawing.bundle import notes, pair_marks, shield_marks
from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.inspect import inspect_joins
from authorkit.drawing.shapes import Circle, Path
from authorkit.drawing.svg_marks import read_marks
from authorkit.model.wiring import Shield, TwistedPair, Wiring
from authorkit.problems import Place
from tests.drawing.written import circuit, wiring_of

HERE = Place("x")
PAIR = TwistedPair(("D1", "D2"), HERE)


class _Wire:
    def __init__(self, circuit: str) -> None:
        self.circuit = circuit


class _Section:
    """A section of wire as the layout makes it, with nothing but what is looked at."""

    def __init__(self, circuit: str, *points: tuple[float, float]) -> None:
        self.wire, self.points = _Wire(circuit), points


def boxes(shapes):
    """The extent of each mark (two lines make one)."""
    points = [shape.points for shape in shapes if isinstance(shape, Path)]
    both = [(*first, *second) for first, second in zip(points[::2], points[1::2], strict=True)]
    return [
        (min(x for x, _ in each), min(y for _, y in each), max(x for x, _ in each), max(y for _, y in each))
        for each in both
    ]


def level(name: str, y: float, start: float = 0.0, end: float = 60.0) -> _Section:
    return _Section(name, (start, y), (end, y))


def test_a_mark_winds_around_both_wires():
    ((left, top, right, bottom),) = boxes(pair_marks(PAIR, [level("D1", 10), level("D2", 18)], []))
    assert top < 10
    assert bottom > 18
    assert 0 < left < right < 60


def test_wires_that_run_upright_get_their_mark_across():
    sections = [_Section("D1", (10, 0), (10, 40)), _Section("D2", (13.4, 5), (13.4, 50))]
    ((left, top, right, bottom),) = boxes(pair_marks(PAIR, sections, []))
    assert left < 10 < 13.4 < right
    assert 5 < top < bottom < 40


def test_a_mark_keeps_clear_of_a_wire_between_and_of_what_stands_there():
    between = _Section("K1", (0, 14), (30, 14), (30, 0))
    ((left, _, _, _),) = boxes(pair_marks(PAIR, [level("D1", 10), level("D2", 18), between], []))
    assert left > 30
    block = Path(((0, 12), (50, 12), (50, 16), (0, 16)), "strip", closed=True)
    ((left, _, _, _),) = boxes(pair_marks(PAIR, [level("D1", 10), level("D2", 18)], [block]))
    assert left > 50


def test_only_the_nearest_stretches_of_both_wires_are_a_pair():
    """Two stubs of one bus below each other: the lower wire of the upper one is no partner of the one beneath."""
    sections = [level("D1", 10), level("D2", 18), level("D1", 34), level("D2", 42)]
    found = sorted(boxes(pair_marks(PAIR, sections, [])), key=lambda box: box[1])
    assert found[0][1] < 10 < 18 < found[0][3] < 34
    assert len(found) == 2


@pytest.mark.parametrize(
    "sections",
    [
        [level("D1", 10), level("D2", 60)],
        [level("D1", 10, 0, 20), level("D2", 18, 30, 60)],
        [level("D1", 10), level("D2", 18), level("K1", 14)],
    ],
)
def test_without_room_for_a_mark_words_say_it(sections):
    wiring = Wiring(pairs=(PAIR,), shields=(Shield(("D1", "D2"), "R9", HERE),))
    marks = pair_marks(PAIR, sections, [])
    assert marks == []
    assert notes(wiring, marks) == (
        "D1 and D2 are twisted together.",
        "A shield encloses D1, D2, its drain wire is R9.",
    )


def test_a_shield_encloses_its_wires_and_is_joined_to_its_drain():
    shield = Shield(("D1", "D2"), "R9", HERE)
    sections = [level("D1", 10), level("D2", 18), level("R9", 26)]
    box, drain, dot = shield_marks(shield, sections, [], label=20.0)
    assert min(y for _, y in box.points) < 10 < 18 < max(y for _, y in box.points) < 26
    assert drain.points[0][1] == max(y for _, y in box.points)
    assert isinstance(dot, Circle)
    assert dot.centre == drain.points[1]
    assert dot.centre[1] == 26


def test_a_shield_without_room_for_its_labels_is_short():
    shield = Shield(("D1", "D2"), "", HERE)
    sections = [level("D1", 10, 0, 24), level("D2", 18, 0, 24)]
    (wide,) = shield_marks(shield, sections, [], label=10.0)
    (short,) = shield_marks(shield, sections, [], label=22.0)
    width = [max(x for x, _ in box.points) - min(x for x, _ in box.points) for box in (wide, short)]
    assert width[0] > 20
    assert width[1] < 7


@pytest.mark.parametrize(("name", "marks"), [("03-bus", 4), ("16-star", 3)])
def test_a_bus_has_one_mark_for_each_run_of_its_pair(name, marks):
    (picture,) = draw_circuit(circuit(name))[0]
    assert len(read_marks(picture.svg).of("twist")) == 2 * marks


def test_a_pair_that_runs_nowhere_side_by_side_is_told_below_the_picture():
    wiring = wiring_of(
        "parts:\n"
        '  M1: {name: Module, kind: module, connectors: {M1: {"1": A, "2": B}}, inside: []}\n'
        '  B1: {name: One, connectors: {B1: {"1": A}}}\n'
        '  B2: {name: Two, connectors: {B2: {"1": A, "2": B, "3": C}}}\n'
        '  B3: {name: Three, connectors: {B3: {"1": A}}}\n'
        "pairs: [[D1, D2]]\n"
        "wires:\n"
        "  - [M1.1, D1 YE 0.35 mm2, B1.1]\n"
        "  - [B2.1, D2 GN 0.35 mm2, B3.1]\n"
    )
    pictures, _ = draw_circuit(wiring)
    texts = {text.text for text in read_marks(pictures[0].svg).texts}
    has_mark = bool(read_marks(pictures[0].svg).of("twist"))
    assert has_mark or "D1 and D2 are twisted together." in texts
    assert not any("twisted" in sentence for sentence in inspect_joins([pictures[0].svg], wiring))
