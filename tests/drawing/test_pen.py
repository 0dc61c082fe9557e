from __future__ import annotations

import subprocess
import sys
from xml.etree import ElementTree

import pytest

from authorkit.drawing.pen import render
from authorkit.drawing.shapes import Arc, Circle, Library, Path, Scene, Words, rectangle, scaled

SVG = "{http://www.w3.org/2000/svg}"


def texts(svg):
    return [element.text for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("text", ["R&D", "a < b > c", "$5 and $6", "$\\alpha$", "x_1^2", "&amp;", "Kühlmittel µ 2 Ω"])
def test_what_the_library_would_interpret_is_printed_as_typed(text):
    assert texts(render(Scene((Words(text, 1.0, 5.0),), 60.0, 10.0))) == [text]


def test_an_upright_symbol_before_other_shapes_turns_nothing():
    frame = rectangle((10.0, 5.0), (40.0, 15.0), "frame")
    alone = render(Scene((frame,), 50.0, 30.0))
    beside = render(Scene((Library("resistor", (45.0, 5.0), (45.0, 25.0), 5.5), frame), 50.0, 30.0))
    points = [
        next(element for element in ElementTree.fromstring(svg) if element.get("class") == "frame").get("points")
        for svg in (alone, beside)
    ]
    assert points[0] == points[1]


def test_the_picture_has_its_true_size_and_nothing_is_cut_off_at_the_rim():
    root = ElementTree.fromstring(render(Scene((Words("Xg", 0.0, 3.0),), 30.0, 10.0)))
    assert (root.get("width"), root.get("height")) == ("30.00mm", "10.00mm")
    assert root.get("viewBox") == "0 0 85.04 28.35"  # 30 mm and 10 mm in points of 25.4/72 mm


def test_positions_are_millimetres_from_the_upper_left_corner():
    svg = render(Scene((Words("A", 25.4, 12.7), Circle((50.8, 25.4), 2.54, "dot", fill="black")), 100.0, 50.0))
    text, circle = (next(ElementTree.fromstring(svg).iter(f"{SVG}{tag}")) for tag in ("text", "circle"))
    assert (text.get("x"), text.get("y")) == ("72.000", "36.000")
    assert (circle.get("cx"), circle.get("cy"), circle.get("r")) == ("144", "72", "7.2")


def test_each_element_says_its_role_and_what_it_belongs_to():
    shapes = (
        Library("switch", (5.0, 5.0), (20.0, 5.0), 5.5),
        Path(((1.0, 9.0), (30.0, 9.0)), "wire"),
        Circle((30.0, 9.0), 0.9, "dot", fill="black", node="S10"),
        Arc((10.0, 20.0), 4.0, 4.0, (0.0, 180.0), "symbol"),
        Words("23", 3.0, 9.0, node="M1-A.23"),
    )
    found = [
        (each.get("class"), each.get("data-node")) for each in ElementTree.fromstring(render(Scene(shapes, 40, 30)))
    ]
    assert ("wire", None) in found
    assert ("dot", "S10") in found
    assert ("words", "M1-A.23") in found
    assert ("symbol", None) in found
    assert [role for role, _ in found].count("library") >= 1


def test_a_smaller_type_size_shrinks_the_geometry_but_not_the_lines():
    scene = Scene((Path(((0.0, 0.0), (90.0, 0.0)), "wire"), Words("A", 9.0, 9.0)), 90.0, 18.0)
    small = scaled(scene, 7.0)
    assert (small.width, small.height, small.size) == (pytest.approx(70.0), pytest.approx(14.0), 7.0)
    root = ElementTree.fromstring(render(small))
    assert next(root.iter(f"{SVG}text")).get("font-size") == "7.0"
    assert "stroke-width:1.1" in next(each for each in root if each.get("class") == "wire").get("style")


def test_empty_text_is_left_out_without_moving_the_roles_of_others():
    svg = render(Scene((Words("", 1.0, 1.0, node="x"), Words("A", 1.0, 5.0, node="y")), 10.0, 10.0))
    assert [each.get("data-node") for each in ElementTree.fromstring(svg)] == ["y"]


def test_drawing_loads_no_plotting_library():
    code = (
        "import sys; from authorkit.drawing import draw_circuit; import authorkit.drawing.face;"
        "sys.exit(any(name.split('.')[0] in ('matplotlib', 'ziamath', 'ziafont') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_the_library_can_still_draw_on_its_other_canvas_in_the_same_process():
    """Keeping the other canvas out while loading must not leave a trace in the table of modules."""
    code = (
        "import sys, authorkit.drawing.pen;import schemdraw.backends.mpl as canvas;sys.exit(0 if canvas.Figure else 1)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
