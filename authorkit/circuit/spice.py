"""A netlist in the SPICE format that every circuit simulator reads: exactly the circuit that was solved."""

from __future__ import annotations

from collections.abc import Mapping

from authorkit.circuit.netlist import CHASSIS, INSULATION, OPEN, Element, Netlist

# A simulator adds up conductances: beside 1e4 S of a thick cable the 1e-9 S that hold a floating high-voltage circuit
# drown in rounding. Below this many ohms a resistance is written as a voltage that follows its current (H), which keeps
# its own equation; one node more, the same circuit.
_BY_CURRENT = 0.1


def spice_text(netlist: Netlist, title: str) -> str:
    """The circuit at nominal values, without a meter.

    A comment `* point M1-A.23 = n12` names the node of each test point, `* element ...` the origin of each line. Opens
    are left out; the insulation of every node is written as a resistor of its own.
    """
    numbers: dict[str, str] = {CHASSIS: "0"}
    numbers.update({node: f"n{index}" for index, node in enumerate(netlist.nodes, 1)})
    lines = [f"* {title}"]
    lines += [f"* point {point} = {numbers[node]}" for point, node in sorted(netlist.points.items()) if node in numbers]
    for index, element in enumerate(netlist.elements, 1):
        lines += _lines(element, index, numbers)
    lines += [f"Rins{number[1:]} {number} 0 {INSULATION:.17g}" for number in numbers.values() if number != "0"]
    return "\n".join([*lines, ".op", ".end", ""])


def _lines(element: Element, index: int, numbers: Mapping[str, str]) -> list[str]:
    """One element as one or two lines of SPICE, below a comment that says what it is."""
    a, b = numbers[element.a], numbers[element.b]
    origin = f"* element {element.name}"
    if element.kind == "R" and element.value >= OPEN:
        return [f"{origin} is open"]
    if element.kind == "R" and element.value < _BY_CURRENT:
        probe = f"x{index}"
        return [origin, f"V{index} {a} {probe} DC 0", f"H{index} {probe} {b} V{index} {element.value:.17g}"]
    if element.kind == "R":
        return [origin, f"R{index} {a} {b} {element.value:.17g}"]
    if element.kind == "I":
        return [origin, f"I{index} {a} {b} DC {element.value:.17g}"]
    if element.kind == "D":
        model = f".model dm{index} D(is={element.value:.17g} n={element.emission:.17g})"
        return [origin, model, f"D{index} {a} {b} dm{index}"]
    if not element.gain:
        return [origin, f"V{index} {a} {b} DC {element.value:.17g}"]
    inner, plus, minus = f"x{index}", numbers[element.control[0]], numbers[element.control[1]]
    return [
        origin,
        f"V{index} {a} {inner} DC {element.value:.17g}",
        f"E{index} {inner} {b} {plus} {minus} {element.gain:.17g}",
    ]
