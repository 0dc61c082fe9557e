"""The solver against textbooks, closed forms, exact arithmetic and the laws every circuit obeys."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import lambertw

from authorkit.circuit.devices.lights import THERMAL, diode_elements
from authorkit.circuit.netlist import (
    CHASSIS,
    INSULATION,
    OPEN,
    Change,
    Element,
    Netlist,
    Toggle,
    changed,
    joint,
    resistor,
)
from authorkit.circuit.solve import Meter, islands, settle, solve


def r(name: str, a: str, b: str, ohms: float) -> Element:
    return resistor(name, (a, b), ohms)


def v(name: str, a: str, b: str, volts: float) -> Element:
    return Element(name, "V", a, b, volts)


def i(name: str, a: str, b: str, amps: float) -> Element:
    return Element(name, "I", a, b, amps)


def volts(elements: list[Element], a: str, b: str = CHASSIS) -> float:
    return float(solve(Netlist(tuple(elements))).volts(a, b)[0])


G = CHASSIS
HALF_BRIDGE = [v("v", "t", G, 24), r("1", "t", "l", 150), r("2", "t", "r", 50), r("3", "l", "r", 100)]
# name: (elements, node a, node b, volts, relative tolerance, source)
TEXTBOOK = {
    # DOE Fundamentals Handbook, Electrical Science, Basic DC Theory, figure 45: 300/13 V. (The page prints 4.65 A for
    # the current through the 8 Ω; 36.923 V over 8 Ω is 4.615 A.)
    "two sources": ([v("1", "p", G, 60), v("2", "q", G, 20), r("8", "p", "x", 8), r("4", "q", "x", 4),
                     r("6", "x", G, 6)], "x", G, 300 / 13),
    "two sources, drop": ([v("1", "p", G, 60), v("2", "q", G, 20), r("8", "p", "x", 8), r("4", "q", "x", 4),
                           r("6", "x", G, 6)], "p", "x", 4.6154 * 8),
    # University of Delaware, PHYS345, solution of a quiz: 8/3 V and 35/9 V.
    "current source, first node": ([v("v", "p", G, 2), r("2", "p", "x", 2), r("3", "x", G, 3), r("1", "x", "y", 1),
                                    r("5", "y", G, 5), i("i", G, "y", 2)], "x", G, 8 / 3),
    "current source, second node": ([v("v", "p", G, 2), r("2", "p", "x", 2), r("3", "x", G, 3), r("1", "x", "y", 1),
                                     r("5", "y", G, 5), i("i", G, "y", 2)], "y", G, 35 / 9),
    # Worked solutions, problem P3.5: 8 V beside 0 V.
    "two current sources": ([r("6", "x", G, 6e3), r("4", "x", "y", 4e3), r("a", "y", G, 6e3), r("b", "y", G, 3e3),
                             i("i", G, "x", 4e-3), i("j", "x", "y", 6e-3)], "y", G, 8.0),
    # Michigan State University, PHY232: 0.369 A, 0.554 A and -0.185 A in 10, 15 and 20 Ω.
    "two loops": ([v("1", "p", G, 12), v("2", "q", G, 12), r("10", "p", "x", 10), r("15", "x", G, 15),
                   r("20", "q", "x", 20)], "x", G, 0.5538 * 15),
    # Lessons in Electric Circuits, volume I, chapter 10 (value from memory): 8 V.
    "branch currents": ([v("1", "p", G, 28), v("2", "q", G, 7), r("4", "p", "x", 4), r("1", "q", "x", 1),
                         r("2", "x", G, 2)], "x", G, 8.0),
    # The same book: an unbalanced bridge of 176.35 Ω takes 0.13609 A of 24 V; measured here over 1 mΩ in series.
    "unbalanced bridge": ([*HALF_BRIDGE, r("4", "l", "n", 300), r("5", "r", "n", 250), r("s", "n", G, 1e-3)],
                          "n", G, 0.13609196e-3),
    # Balanced: 150/50 = 300/100; nothing between the arms, whatever joins them (textbook knowledge). Told over 1 V.
    "balanced bridge": ([*HALF_BRIDGE, r("4", "l", G, 300), r("5", "r", "m", 100), v("o", "m", G, 0)], "l", G, 16.0),
    # R-2R ladder, code 1010 of 16 at 8 V: 10/16 of 8 V.
    "r-2r ladder": ([r("t", "a", G, 2e3), r("0", "a", G, 2e3), r("ab", "a", "b", 1e3), v("1", "p", G, 8),
                     r("1r", "p", "b", 2e3), r("bc", "b", "c", 1e3), r("2", "c", G, 2e3), r("cd", "c", "d", 1e3),
                     r("3", "p", "d", 2e3)], "d", G, 5.0),
    # Star of three 2 Ω equals delta of three 6 Ω; both behind 4 Ω at 10 V: 10 * 4 / 8.
    "star": ([v("v", "p", G, 10), r("s", "p", "a", 4), r("1", "a", "m", 2), r("2", "m", G, 2), r("3", "m", "c", 2)],
             "a", G, 5.0),
    "delta": ([v("v", "p", G, 10), r("s", "p", "a", 4), r("1", "a", G, 6), r("2", "a", "c", 6), r("3", "c", G, 6)],
              "a", G, 5.0),
    # ISO 11898-2: two terminators of 120 Ω; 1 mA through them drops 60 mV, with one of them lost 120 mV.
    "terminated bus": ([r("1", "h", G, 120), r("2", "h", G, 120), i("i", G, "h", 1e-3)], "h", G, 60e-3),
    "half-terminated bus": ([r("1", "h", G, 120), i("i", G, "h", 1e-3)], "h", G, 120e-3),
    # A voltage-controlled source of gain 2 over a 3 V source (definition).
    "controlled source": ([v("v", "c", G, 3), Element("e", "V", "o", G, 1.0, control=("c", G), gain=2.0),
                           r("l", "o", G, 50)], "o", G, 7.0),
}  # fmt: skip


@pytest.mark.parametrize("name", TEXTBOOK)
def test_textbook_circuit(name: str) -> None:
    elements, a, b, expected = TEXTBOOK[name]
    assert volts(elements, a, b) == pytest.approx(expected, rel=2e-4)


def test_twenty_stage_ladder_is_a_ratio_of_fibonacci_numbers() -> None:
    # Series 1 Ω, shunt 1 Ω: n stages have F(2n+1)/F(2n) Ω (elementary).
    elements = [i("i", G, "n0", 1.0)]
    for stage in range(20):
        elements += [r(f"s{stage}", f"n{stage}", f"n{stage + 1}", 1.0), r(f"p{stage}", f"n{stage + 1}", G, 1.0)]
    fibonacci = [1, 1]
    while len(fibonacci) < 42:
        fibonacci.append(fibonacci[-1] + fibonacci[-2])
    assert volts(elements, "n0") == pytest.approx(fibonacci[40] / fibonacci[39], rel=1e-7)


# What each instrument shows, by the divider rule: (Ω of the instrument, volts).
@pytest.mark.parametrize(("ohms", "shown"), [(10e6, 12.587), (3e3, 2.908), (48.0, 0.0602)])
def test_corroded_feed_of_10_kilohm_looks_good_only_to_a_voltmeter(ohms: float, shown: float) -> None:
    netlist = Netlist((v("b", "p", G, 12.6), r("c", "p", "x", 10e3)))
    assert float(solve(netlist, [Meter("x", G, ohms)]).meters[0, 0]) == pytest.approx(shown, rel=1e-3)


@pytest.mark.parametrize(("ohms", "shown"), [(10e6, 11.4545), (3e3, 0.03769), (48.0, 0.0006048)])
def test_ghost_voltage_of_1_megohm_leakage_vanishes_under_load(ohms: float, shown: float) -> None:
    netlist = Netlist((v("b", "p", G, 12.6), r("leak", "p", "x", 1e6)))
    assert float(solve(netlist, [Meter("x", G, ohms)]).meters[0, 0]) == pytest.approx(shown, rel=2e-3)


def diode_volts(source: float, ohms: float, saturation: float, thermal: float) -> float:
    diode = Element("d", "D", "x", G, saturation, emission=thermal / THERMAL)
    return volts([v("v", "p", G, source), r("r", "p", "x", ohms), diode], "x")


# (source V, Ω, saturation A, thermal voltage V, diode V). First: worked iteration on a question page; second: answer to
# a problem of Sedra and Smith, printed as 0.66 V; third: 1 mA at 0.7 V with n = 1
# (a textbook prints 0.762 V, value from memory, for a diode of 0.1 V a decade).
DIODES = [
    (5.0, 10e3, 6.9144e-16, 0.025, 0.67902),
    (1.0, 1e3, 1e-15, 0.025, 0.66354),
    (5.0, 1e3, 1e-3 / math.expm1(0.7 / 0.025), 0.025, 0.73625),
]


@pytest.mark.parametrize(("source", "ohms", "saturation", "thermal", "expected"), DIODES)
def test_published_diode_circuit(
    source: float, ohms: float, saturation: float, thermal: float, expected: float
) -> None:
    assert diode_volts(source, ohms, saturation, thermal) == pytest.approx(expected, abs=2e-5)


@given(
    source=st.floats(0.1, 400.0),
    ohms=st.floats(0.5, 1e6),
    saturation=st.floats(1e-16, 1e-9),
    emission=st.floats(1.0, 2.0),
)
@settings(max_examples=60, deadline=None)
def test_one_diode_agrees_with_the_lambert_function(
    source: float, ohms: float, saturation: float, emission: float
) -> None:
    # Closed form with the insulation of the node folded into the source.
    share = INSULATION / (INSULATION + ohms)
    source_seen, ohms_seen, scale = source * share, ohms * share, emission * THERMAL
    argument = math.log(saturation * ohms_seen / scale) + (source_seen + saturation * ohms_seen) / scale
    if argument < 650:
        amps = scale / ohms_seen * float(lambertw(math.exp(argument)).real) - saturation
        expected = source_seen - amps * ohms_seen
    else:
        w = argument - math.log(argument)
        for _ in range(50):
            w = argument - math.log(w)
        expected = source_seen - (scale / ohms_seen * w - saturation) * ohms_seen
    elements = [
        v("v", "p", G, source),
        r("r", "p", "x", ohms),
        Element("d", "D", "x", G, saturation, emission=emission),
    ]
    assert volts(elements, "x") == pytest.approx(expected, abs=1e-6 + 1e-8 * source)


# Circuits for the laws that hold in all of them; the same ones on each run.
SEEDS = st.integers(0, 10**9)


def random_linear(seed: int, size: int = 12) -> Netlist:
    """A random network: resistors from milliohms to megohms, opens, two sources of voltage, one of current."""
    rng = random.Random(seed)
    nodes = [CHASSIS, *(f"n{index}" for index in range(1, size))]
    elements = [
        joint(f"t{index}", (nodes[index], nodes[rng.randrange(index)]), float(f"{10 ** rng.uniform(-3, 6):.3g}"))
        for index in range(1, size)
    ]
    for index in range(size):
        a, b = rng.sample(nodes, 2)
        ohms = rng.choice([OPEN, float(f"{10 ** rng.uniform(-2, 6):.3g}"), float(f"{10 ** rng.uniform(0, 5):.3g}")])
        elements.append(
            joint(f"r{index}", (a, b), ohms) if rng.random() < 0.5 or ohms == OPEN else r(f"r{index}", a, b, ohms)
        )
    elements += [v("v1", "s1", CHASSIS, 12.6), r("rs1", "s1", rng.choice(nodes[1:]), 0.5)]
    elements += [v("v2", "s2", rng.choice(nodes), 5.0), r("rs2", "s2", rng.choice(nodes[1:]), 100.0)]
    elements.append(i("i1", *rng.sample(nodes, 2), 0.014))
    return Netlist(tuple(elements))


def exact(netlist: Netlist) -> dict[str, Fraction]:
    """Node voltages in exact rational arithmetic: nodal analysis with a current for each source of voltage."""
    index = {node: place for place, node in enumerate(netlist.nodes)}
    sources = [element for element in netlist.elements if element.kind == "V"]
    size = len(index) + len(sources)
    rows = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for place in range(len(index)):
        rows[place][place] += 1 / Fraction(INSULATION)
    for element in netlist.elements:
        ends = [(index[node], sign) for node, sign in ((element.a, 1), (element.b, -1)) if node != CHASSIS]
        if element.kind == "V":
            own = len(index) + sources.index(element)
            rows[own][size] = Fraction(element.value)
            for here, plus in ends:
                rows[here][own] += plus
                rows[own][here] += plus
        elif element.value < OPEN:
            stamp(rows, ends, element)
    eliminate(rows)
    return {node: rows[place][size] / rows[place][place] for node, place in index.items()}


def stamp(rows: list[list[Fraction]], ends: list[tuple[int, int]], element: Element) -> None:
    """A resistor as a conductance, or a source of current on the right side."""
    for here, plus in ends:
        if element.kind == "I":
            rows[here][-1] -= plus * Fraction(element.value)
        else:
            for there, minus in ends:
                rows[here][there] += plus * minus / Fraction(element.value)


def eliminate(rows: list[list[Fraction]]) -> None:
    """Gauss and Jordan."""
    size = len(rows)
    for place in range(size):
        pivot = next(row for row in range(place, size) if rows[row][place])
        rows[place], rows[pivot] = rows[pivot], rows[place]
        for row in range(size):
            factor = rows[row][place] / rows[place][place] if row != place else Fraction(0)
            if factor:
                rows[row] = [x - factor * y for x, y in zip(rows[row], rows[place], strict=True)]


@pytest.mark.parametrize("seed", range(12))
def test_linear_circuit_agrees_with_exact_rational_arithmetic(seed: int) -> None:
    netlist = random_linear(seed)
    found = solve(netlist)
    for node, expected in exact(netlist).items():
        assert abs(float(found.volts(node)[0]) - float(expected)) < 1e-9


@given(seed=SEEDS)
@settings(max_examples=15, deadline=None, derandomize=True)
def test_currents_balance_and_power_is_conserved(seed: int) -> None:
    # Kirchhoff and Tellegen: what flows into a node flows out; what sources give is turned into heat.
    netlist = random_linear(seed)
    solution = solve(netlist)
    into = dict.fromkeys(netlist.nodes, 0.0)
    power = 0.0
    for element in netlist.elements:
        across = float(solution.volts(element.a, element.b)[0])
        own = element.kind == "V" or element.branch
        amps = (
            float(solution.amps(element.name)[0])
            if own
            else across / element.value
            if element.kind == "R"
            else element.value
        )
        power += across * amps
        for node, sign in ((element.a, 1), (element.b, -1)):
            if node != CHASSIS:
                into[node] += sign * amps
    for node, amps in into.items():
        leak = float(solution.volts(node)[0]) / INSULATION
        power += leak * float(solution.volts(node)[0])
        assert abs(amps + leak) < 1e-9
    assert abs(power) < 1e-7


@given(seed=SEEDS)
@settings(max_examples=15, deadline=None, derandomize=True)
def test_sources_superpose(seed: int) -> None:
    netlist = random_linear(seed)
    names = ("v1", "v2", "i1")
    alone = [solve(changed(netlist, Change({other: 0.0 for other in names if other != name}))) for name in names]
    together = solve(netlist)
    for node in netlist.nodes:
        summed = sum(float(each.volts(node)[0]) for each in alone)
        assert summed == pytest.approx(float(together.volts(node)[0]), abs=1e-9)


@given(seed=SEEDS)
@settings(max_examples=15, deadline=None, derandomize=True)
def test_transfer_resistance_is_the_same_both_ways(seed: int) -> None:
    dead = changed(random_linear(seed), Change({"v1": 0.0, "v2": 0.0, "i1": 0.0}))
    there = Netlist((*dead.elements, i("t", CHASSIS, "n3", 1e-3)))
    back = Netlist((*dead.elements, i("t", CHASSIS, "n7", 1e-3)))
    assert volts(list(there.elements), "n7") == pytest.approx(volts(list(back.elements), "n3"), rel=1e-6, abs=1e-12)


@given(seed=SEEDS)
@settings(max_examples=15, deadline=None, derandomize=True)
def test_voltage_is_monotone_in_one_resistance(seed: int) -> None:
    netlist = random_linear(seed)
    swept = [float(solve(changed(netlist, Change({"t4": 10.0**power}))).volts("n6")[0]) for power in range(-3, 7)]
    steps = np.diff(swept)
    assert (steps <= 1e-9).all() or (steps >= -1e-9).all()


def test_contradicting_ideal_sources_have_no_answer() -> None:
    netlist = Netlist((v("a", "x", G, 12.0), v("b", "x", G, 5.0), r("l", "x", G, 10.0)))
    assert not solve(netlist).found
    assert settle(netlist).status == "not converged"


def test_diode_straight_across_a_source_converges_by_its_series_resistance() -> None:
    netlist = Netlist((v("b", "x", G, 400.0), *diode_elements("d", ("x", G))))
    amps = float(solve(netlist).amps("d:rs")[0])
    assert 390 < amps < 400


def test_open_joint_carries_nothing_and_its_far_end_is_an_island() -> None:
    netlist = Netlist((v("b", "x", G, 12.6), joint("w", ("x", "y"), OPEN), joint("z", ("y", "q"), 0.01)))
    assert float(solve(netlist).amps("w")[0]) == 0.0
    found = islands(netlist)
    assert found["x"] == found[CHASSIS]
    assert found["y"] == found["q"] != found[CHASSIS]


def fuse(rating: float) -> tuple[Element, Toggle]:
    element = joint("f", ("p", "x"), 0.01)
    return element, Toggle("f:blown", 1.35 * rating, 0.0, {"f": OPEN}, {"f": 0.01}, sense="f", once=True)


def test_short_behind_a_fuse_blows_it_and_the_second_answer_counts() -> None:
    element, toggle = fuse(10.0)
    netlist = Netlist((v("b", "p", G, 12.6), element, joint("short", ("x", G), 0.02)), (toggle,))
    settled = settle(netlist)
    assert settled.thrown == {"f:blown"}
    assert abs(float(solve(settled.netlist).volts("x")[0])) < 1e-6


def test_load_below_the_rating_leaves_the_fuse_whole() -> None:
    element, toggle = fuse(10.0)
    assert not settle(Netlist((v("b", "p", G, 12.6), element, r("load", "x", G, 1.3)), (toggle,))).thrown


def test_relay_pulls_in_and_holds_above_its_drop_out() -> None:
    def relay(volts_now: float, start: bool) -> bool:
        toggle = Toggle("k", 7.0, 2.0, {"c": 0.01}, {"c": OPEN}, across=("p", G), start=start)
        netlist = Netlist((v("b", "p", G, volts_now), r("coil", "p", G, 85.0), joint("c", ("p", "l"), OPEN)), (toggle,))
        return bool(settle(netlist).thrown)

    assert relay(12.6, False)
    assert not relay(5.0, False)
    assert relay(5.0, True)
    assert not relay(1.0, True)


def test_relay_that_breaks_its_own_feed_chatters() -> None:
    toggle = Toggle("k", 7.0, 2.0, {"c": OPEN}, {"c": 0.01}, across=("x", G))
    netlist = Netlist((v("b", "p", G, 12.6), joint("c", ("p", "x"), 0.01), r("coil", "x", G, 85.0)), (toggle,))
    assert settle(netlist).status == "chatter"
