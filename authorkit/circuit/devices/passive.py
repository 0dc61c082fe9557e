"""Resistances of every kind: resistors, heaters, windings, links, isolation, three-phase windings."""

from __future__ import annotations

from authorkit.circuit.netlist import CHASSIS, OPEN, Change, Mode, Piece, Toggle, joint, resistor
from authorkit.circuit.site import Site, resistance, site_words

_LINK = 5e-3  # Ω, an inner link whose resistance is not told


def two_ends(site: Site) -> Piece:
    """A resistor, heater, solenoid, winding or terminator."""
    return resistance(site, (site.nodes[0], site.nodes[1]))


def input_resistance(site: Site) -> Piece:
    """A differential input; one whose resistance is not told draws nothing."""
    return two_ends(site) if "r" in site.device.values else Piece()


def isolation(site: Site) -> Piece:
    """The resistance from a high-voltage point to the body."""
    piece = resistance(site, (site.nodes[0], CHASSIS))
    if piece.gaps:
        return piece
    lost = Change({piece.elements[0].name: 10e3})
    mode = Mode("short to ground", f"The isolation of {site.device.part} has broken down to 10 kΩ", lost)
    return Piece(piece.elements, params=piece.params, modes=(mode,))


def link(site: Site) -> Piece:
    """Terminals joined inside a part, one after the other."""
    ohms = site.number("r", _LINK)
    names = [site.role(f"link{index}") for index in range(1, len(site.nodes))]
    pairs = zip(names, site.nodes, site.nodes[1:], strict=False)
    elements = tuple(joint(name, (a, b), ohms) for name, a, b in pairs)
    return Piece(
        elements, modes=(Mode("open", f"{site_words(site)} is open", Change({names[0]: OPEN})),) if names else ()
    )


def three_phase(site: Site) -> Piece:
    """Three windings in star; the value is measured between two phases."""
    if site.number("r", 0.0) <= 0:
        return site.gap("its 'r' is missing or not above zero")
    half, star = site.number("r", 0.0) / 2, site.role("star")
    names = [site.role(phase) for phase in "uvw"]
    elements = tuple(
        resistor(name, (node, star), half, site.param_name("r")) for name, node in zip(names, site.nodes, strict=True)
    )
    modes = tuple(
        Mode(f"open {phase}", f"Winding {phase.upper()} of {site.device.part} is open", Change({name: OPEN}))
        for phase, name in zip("uvw", names, strict=True)
    )
    ground = resistor(site.role("leak"), (site.nodes[0], CHASSIS), 1e3)
    short = Mode("short to ground", f"A winding of {site.device.part} leaks to the body", Change({}, (ground,)))
    return Piece(elements, params=site.param("r"), modes=(*modes, short))


def motor(site: Site) -> Piece:
    """A motor: its winding while it stands, and at a turn the current that it draws when running free."""
    stalled, amps, name = site.number("r", 0.0), site.number("running", 0.0), site.role("r")
    if stalled <= 0:
        return site.gap("its 'r' is missing or not above zero")
    running = site.nominal / amps if amps > 0 else stalled
    element = joint(name, (site.nodes[0], site.nodes[1]), stalled)
    turns = Toggle(
        site.role("turns"), 3.0, 1.0, {name: running}, {name: stalled}, across=(site.nodes[0], site.nodes[1])
    )
    modes = (
        Mode("open", f"{site_words(site)} is open", Change({name: OPEN}, frozen=(turns.name,))),
        Mode("stalled", f"{site_words(site)} is blocked", Change({name: stalled}, frozen=(turns.name,))),
        Mode("shorted", f"{site_words(site)} is shorted", Change({name: 0.02}, frozen=(turns.name,))),
    )
    return Piece((element,), (turns,) if running != stalled else (), site.param("r"), modes)
