"""Random circuits, the same ones for the same seed."""

from __future__ import annotations

import random

from authorkit.circuit.netlist import CHASSIS, OPEN, Element, Netlist, joint, resistor


def generated(seed: int) -> Netlist:
    """A random circuit of a dozen nodes: a tree of wires, cross links, a battery, a supply, diodes."""
    rng = random.Random(seed)
    nodes = [CHASSIS, *(f"x{index}" for index in range(1, rng.randint(5, 14)))]
    elements = [
        joint(f"w{index}", (nodes[index], rng.choice(nodes[:index])), 10 ** rng.uniform(-2, 4))
        for index in range(1, len(nodes))
    ]
    for index in range(rng.randint(3, 8)):
        a, b = rng.sample(nodes, 2)
        ohms = 10 ** rng.uniform(0, 6)
        elements.append(joint(f"o{index}", (a, b), OPEN) if rng.random() < 0.2 else resistor(f"r{index}", (a, b), ohms))
    elements += [Element("bat", "V", "p", CHASSIS, 12.6), resistor("inner", ("p", rng.choice(nodes[1:])), 0.02)]
    elements += [
        Element("ref", "V", "q", rng.choice(nodes), 5.0),
        resistor("limit", ("q", rng.choice(nodes[1:])), 50.0),
    ]
    for index in range(rng.randint(0, 4)):
        a, b = rng.sample(nodes, 2)
        emission = rng.choice([1.0, 1.6, 2.0])
        elements.append(Element(f"d{index}", "D", a, f"j{index}", 10 ** rng.uniform(-15, -11), emission=emission))
        elements.append(joint(f"s{index}", (f"j{index}", b), 10 ** rng.uniform(-1, 2)))
    if rng.random() < 0.3:
        control = (rng.choice(nodes[1:]), CHASSIS)
        elements.append(Element("gain", "V", "g", CHASSIS, 0.1, control=control, gain=rng.uniform(0.1, 0.9)))
        elements.append(resistor("out", ("g", rng.choice(nodes[1:])), 1e3))
    if rng.random() < 0.5:
        elements.append(Element("amps", "I", *rng.sample(nodes, 2), 0.007))
    return Netlist(tuple(elements))
