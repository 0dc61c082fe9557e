from __future__ import annotations

import os
import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from authorkit.drawing.formula import FORMULA_SIZE, FormulaError, draw_formula


def outline_box(svg: bytes) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of the points of all outlines."""
    path = ElementTree.fromstring(svg).find("{http://www.w3.org/2000/svg}path")
    assert path is not None
    numbers = [float(number) for number in re.findall(r"-?\d+\.\d+", path.attrib["d"])]
    across, down = numbers[::2], numbers[1::2]
    return min(across), min(down), max(across), max(down)


def test_a_letter_has_the_size_that_the_font_gives_it() -> None:
    """LiberationSans-Regular: the capital H is 1409 of 2048 units high (its table of outlines), so 6.88 pt at 10 pt."""
    _, top, _, bottom = outline_box(draw_formula(r"\mathrm{H}").svg)
    assert -top == pytest.approx(1409 / 2048 * FORMULA_SIZE, abs=0.03)  # hinted
    assert bottom == pytest.approx(0, abs=0.03)


@pytest.mark.parametrize(
    "tex", ["U = R I", r"\frac{R_1 R_2}{R_1 + R_2}", r"\sqrt{2}\,\Omega", r"e^{-t / \tau}", "g_{jy}"]
)
def test_the_picture_holds_all_of_its_outlines(tex: str) -> None:
    formula = draw_formula(tex)
    left, top, width, height = map(float, ElementTree.fromstring(formula.svg).attrib["viewBox"].split())
    inner = outline_box(formula.svg)
    assert left <= inner[0]
    assert top <= inner[1]
    assert inner[2] <= left + width
    assert inner[3] <= top + height
    assert (formula.width, formula.height) == pytest.approx((width, height))
    assert formula.depth == pytest.approx(top + height, abs=0.02)


def test_a_fraction_hangs_below_the_line_and_a_capital_does_not() -> None:
    assert draw_formula(r"\frac{1}{2}").depth > 2
    assert draw_formula("U").depth < 1


@pytest.mark.parametrize(
    ("tex", "reason"),
    [(r"\nonsense", "nonsense"), (r"\frac{1}", r"\\frac"), ("{", "}"), (r"\begin{cases}\end{cases}", "begin")],
)
def test_what_cannot_be_set_says_why_without_names_of_the_machinery(tex: str, reason: str) -> None:
    with pytest.raises(FormulaError, match=reason) as caught:
        draw_formula(tex)
    assert "Exception" not in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_same_formula_gives_the_same_bytes_in_another_process() -> None:
    program = (
        "from authorkit.drawing.formula import draw_formula; import sys; "
        r"sys.stdout.buffer.write(draw_formula(r'\frac{R_1}{R_2}').svg)"
    )
    environment = {**os.environ, "PYTHONHASHSEED": "7"}
    result = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True, env=environment)
    assert result.stdout == draw_formula(r"\frac{R_1}{R_2}").svg
