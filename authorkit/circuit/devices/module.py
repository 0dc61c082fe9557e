"""What modules hold at their pins: pull-ups, drivers, bus drivers, their own supply and ground."""

from __future__ import annotations

from authorkit.circuit.devices.lights import diode_elements
from authorkit.circuit.netlist import BATTERY, OPEN, Change, Element, Mode, Piece, joint, resistor
from authorkit.circuit.site import Site, resistance, site_words, switch_piece
from authorkit.model.point import Point

_GROUND_LINK = 5e-3  # Ω inside a module
_DRIVER = 0.2  # Ω of a driver that is on: common practice
# ISO 11898-2 allows 6 to 50 kΩ for each input and 2 to 3 V recessive; 2.5 V behind 25 kΩ is common practice.
_BUS_INPUT, _BUS_RECESSIVE = 25e3, 2.5
# 45 Ω on either side of 60 Ω between 5 V and ground gives 3.5 V and 1.5 V, the levels of ISO 11898-2.
_BUS_DRIVER, _BUS_SUPPLY = 45.0, 5.0
# ISO 17987-4: a slave pulls up with 30 kΩ through a diode (value from memory).
_ONE_WIRE_PULL_UP, _ONE_WIRE_DRIVER = 30e3, 20.0


def nothing(site: Site) -> Piece:
    """What has no effect on a circuit: the name of a value that is read, a block whose inside is not told."""
    return Piece()


def pull_up(site: Site) -> Piece:
    """A resistor from a pin to a supply inside the module."""
    rail, rails = site.rail("to")
    piece = resistance(site, (site.nodes[0], rail))
    return Piece(piece.elements, params=piece.params, modes=piece.modes, rails=rails, gaps=piece.gaps)


def pull_down(site: Site) -> Piece:
    """A resistor from a pin to a ground cavity, or to the module's own ground."""
    to = site.device.values.get("to")
    return resistance(site, (site.nodes[0], site.node_of[to] if isinstance(to, Point) else site.ground))


def module_ground(site: Site) -> Piece:
    """A pin that is ground inside the module."""
    through = site.device.values.get("through")
    to = site.node_of[through] if isinstance(through, Point) else site.ground
    name = site.role("link")
    mode = Mode("open", f"{site_words(site)} is open", Change({name: OPEN}))
    return Piece((joint(name, (site.nodes[0], to), _GROUND_LINK),), modes=(mode,))


def module_supply(site: Site) -> Piece:
    """What the module draws while it is awake, as a resistance at the nominal battery voltage."""
    draws = site.number("draws", 0.0)
    if draws <= 0 or not site.state.awake:
        return Piece()
    return Piece((resistor(site.role("load"), (site.nodes[0], site.ground), site.nominal / draws),))


def low_side(site: Site) -> Piece:
    """A switch to the module's ground, commanded by the state."""
    return _driver(site, (site.nodes[0], site.ground), site.word)


def high_side(site: Site) -> Piece:
    """A switch to a supply, commanded by the state."""
    rail, rails = site.rail("to")
    piece = _driver(site, (site.nodes[0], rail), site.word)
    return Piece(piece.elements, modes=piece.modes, rails=rails, gaps=piece.gaps)


def half_bridge(site: Site) -> Piece:
    """Two switches: 'on' or 'high' is the upper one, 'low' the lower one, 'off' neither."""
    rail, rails = site.rail("to")
    if site.word not in ("", "on", "high", "low", "off"):
        return site.gap(f"'{site.word}' is no command of a half bridge: on, high, low or off")
    ohms = site.number("r", _DRIVER)
    upper = ohms if site.word in ("on", "high") and site.state.awake else OPEN
    lower = ohms if site.word == "low" and site.state.awake else OPEN
    names = site.role("upper"), site.role("lower")
    elements = (joint(names[0], (site.nodes[0], rail), upper), joint(names[1], (site.nodes[0], site.ground), lower))
    what = site_words(site)
    modes = (
        Mode("internal", f"{what} switches nothing", Change({names[0]: OPEN, names[1]: OPEN})),
        Mode("stuck high", f"The upper switch of {what[0].lower()}{what[1:]} stays on", Change({names[0]: ohms})),
    )
    return Piece(elements, modes=modes, rails=rails)


def inverter_phase(site: Site) -> Piece:
    """A phase that is off: its two free-wheeling diodes. A commanded phase is not a matter of direct current."""
    phase, plus, minus = site.nodes
    elements = (*diode_elements(site.role("up"), (phase, plus)), *diode_elements(site.role("down"), (minus, phase)))
    short = resistor(site.role("short"), (phase, plus), 0.02)
    mode = Mode("internal", f"The upper switch of {site_words(site)[4:]} is shorted", Change({}, (short,)))
    return Piece(elements, modes=(mode,))


def _driver(site: Site, ends: tuple[str, str], word: str) -> Piece:
    if word not in ("", "on", "off"):
        return site.gap(f"'{word}' is no command of a driver: on or off")
    piece = switch_piece(site, ends, word == "on" and site.state.awake, site.number("r", _DRIVER))
    off, on, _ = piece.modes
    what = site_words(site)
    return Piece(
        piece.elements,
        modes=(
            Mode("internal", f"{what} never switches on", off.change),
            Mode("stuck", f"{what} never switches off", on.change),
        ),
    )


def transceiver(site: Site) -> Piece:
    """A driver of a two-wire bus: 'recessive' (also when not told) or 'dominant'; asleep it rests at ground."""
    high, low = site.nodes
    middle, word = site.role("middle"), site.word or "recessive"
    if word not in ("recessive", "dominant"):
        return site.gap(f"'{word}' is no level of a bus driver: recessive or dominant")
    elements = [
        Element(site.role("v"), "V", middle, site.ground, _BUS_RECESSIVE if site.state.awake else 0.0),
        resistor(site.role("h"), (high, middle), _BUS_INPUT),
        resistor(site.role("l"), (low, middle), _BUS_INPUT),
    ]
    if word == "dominant" and site.state.awake:
        elements += [
            Element(site.role("vd"), "V", site.role("drive"), site.ground, _BUS_SUPPLY),
            resistor(site.role("hd"), (site.role("drive"), high), _BUS_DRIVER),
            resistor(site.role("ld"), (low, site.ground), _BUS_DRIVER),
        ]
    short = Change({}, (resistor(site.role("short"), (high, low), 0.5),))
    return Piece(tuple(elements), modes=(Mode("internal", f"{site_words(site)} shorts the bus", short),))


def bus_node(site: Site) -> Piece:
    """A driver of a one-wire bus."""
    word, pull = site.word or "recessive", site.role("pull")
    if word not in ("recessive", "dominant"):
        return site.gap(f"'{word}' is no level of a bus driver: recessive or dominant")
    on = word == "dominant" and site.state.awake
    name, inner = site.role("drive"), site.role("inner")
    elements = (
        *diode_elements(pull, (BATTERY, inner)),
        resistor(site.role("r"), (inner, site.nodes[0]), _ONE_WIRE_PULL_UP),
        joint(name, (site.nodes[0], site.ground), _ONE_WIRE_DRIVER if on else OPEN),
    )
    stuck = Change({name: _ONE_WIRE_DRIVER})
    return Piece(elements, modes=(Mode("stuck", f"{site_words(site)} holds the bus low", stuck),))
