"""Modules on their buses: every tap ends at its bus with a dot, and passes all others without."""

from __future__ import annotations

import pytest

from authorkit.drawing.block_plan import Block, BlockPlan, Rail
from authorkit.drawing.inspect import inspect_print, inspect_texts
from authorkit.drawing.page import PORTRAIT_MM
from authorkit.drawing.rails import draw_rails
from authorkit.drawing.svg_marks import read_marks

NEAR = 0.1


def plan_of(modules: int, *buses: str) -> BlockPlan:
    """Modules M1, M2 ... and buses as 'CAN1 M1 M2'."""
    blocks = tuple(Block(f"M{n}", f"Module number {n}", ("this, that and more",), True) for n in range(1, modules + 1))
    rails = []
    for bus in buses:
        name, *members = bus.split()
        rails.append(Rail(name, f"{name} Powertrain bus, 500 kbit/s", tuple(members)))
    return BlockPlan(blocks, rails=tuple(rails))


def memberships(svg: bytes) -> set[tuple[str, str]]:
    """(module, bus) as the lines and dots show them."""
    marks = read_marks(svg)
    rails = {rail.node: rail.points[0][0] for rail in marks.of("rail")}
    boxes = {mark.node: mark.box for mark in marks.of("block", "module")}
    found = set()
    for way in marks.of("way"):
        (x1, y1), (x2, _) = way.points
        (module,) = [
            name for name, (left, top, right, bottom) in boxes.items()
            if min(abs(x1 - left), abs(x1 - right)) < NEAR and top < y1 < bottom
        ]  # fmt: skip
        assert any(abs(dot.centre[0] - x2) < NEAR and abs(dot.centre[1] - y1) < NEAR for dot in marks.rounds)
        found.add((module, next(name for name, x in rails.items() if abs(x - x2) < NEAR)))
    assert len(marks.of("way")) == len(marks.rounds) == len(found)
    return found


def overlaid(svg: bytes) -> bool:
    ways = [(way.points[0][1], sorted((way.points[0][0], way.points[1][0]))) for way in read_marks(svg).of("way")]
    return any(
        abs(y - other) < NEAR and max(a[0], b[0]) < min(a[1], b[1]) - NEAR
        for n, (y, a) in enumerate(ways)
        for other, b in ways[n + 1 :]
    )


PLANS = {
    "one": plan_of(2, "CAN1 M1 M2"),
    "two": plan_of(7, "CAN1 M1 M4 M5 M6", "CAN2 M2 M3 M4 M7"),
    "many": plan_of(9, *(f"CAN{n} M1 M2 M{n} M9" for n in range(3, 9))),
    "long": plan_of(40, "CAN1 " + " ".join(f"M{n}" for n in range(1, 41)), "CAN2 M1 M40"),
}


@pytest.mark.parametrize("name", PLANS)
def test_every_module_is_joined_to_its_buses_and_to_no_other(name):
    plan = PLANS[name]
    pictures = draw_rails({"A": plan}, "Buses")
    for picture in pictures:
        assert inspect_texts(picture.svg) == []
        assert inspect_print(picture.svg) == []
        assert not overlaid(picture.svg)
        assert picture.width_mm <= PORTRAIT_MM[0] + 1e-6
        assert picture.height_mm <= PORTRAIT_MM[1] + 1e-6
    found = set().union(*(memberships(picture.svg) for picture in pictures))
    assert found == {(member, rail.id) for rail in plan.rails for member in rail.members}


def test_many_modules_go_on_several_sheets_with_all_buses_on_each():
    pictures = draw_rails({"A": PLANS["long"]}, "Buses")
    assert len(pictures) > 1
    assert all({rail.node for rail in read_marks(each.svg).of("rail")} == {"CAN1", "CAN2"} for each in pictures)


def test_a_module_of_one_series_leaves_its_place_in_the_other():
    first, second = draw_rails({"A": plan_of(3, "CAN1 M1 M2 M3"), "B": plan_of(2, "CAN1 M1 M2")}, "Buses")
    assert [mark.node for mark in read_marks(second.svg).of("absent")] == ["M3"]
    places = [{mark.node: mark.box for mark in read_marks(each.svg).of("module")} for each in (first, second)]
    assert all(places[0][name] == pytest.approx(places[1][name]) for name in places[1])
    assert any(text.text == "▲ CAN1 Powertrain bus, 500 kbit/s" for text in read_marks(first.svg).texts)


def test_the_alternative_text_names_modules_and_members():
    (picture,) = draw_rails({"A": PLANS["two"]}, "Modules and buses")
    assert "M4 Module number 4: this, that and more." in picture.alt
    assert "On CAN2 Powertrain bus, 500 kbit/s: M2, M3, M4, M7." in picture.alt


def test_without_a_bus_there_is_no_picture():
    assert draw_rails({"A": plan_of(2)}, "Buses") == ()
