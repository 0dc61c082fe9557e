"""Switches, selectors, relays, contactors and fuses."""

from __future__ import annotations

from authorkit.circuit.devices.lights import diode_elements
from authorkit.circuit.netlist import OPEN, Change, Element, Mode, Piece, Toggle, joint, resistor
from authorkit.circuit.site import Site, resistance, resistance_modes, site_words, switch_piece
from authorkit.circuit.wires import FUSE_BLOWS, fuse_ohms

CONTACT = 0.02  # Ω of a closed switch or relay contact: common practice
_CONTACTOR = 0.2e-3  # Ω: common practice
PULL_IN, DROP_OUT = 7.5, 2.0  # V of a 12 V relay where the author does not say: common practice


def switch(site: Site) -> Piece:
    """A switch as the state sets it, else at rest."""
    word = site.word or site.text("normally")
    if word not in ("open", "closed"):
        return site.gap(f"'{word}' is no position of a switch, 'open' or 'closed'")
    return switch_piece(site, (site.nodes[0], site.nodes[1]), word == "closed", CONTACT)


def ladder(site: Site) -> Piece:
    """A switch that puts a resistance in for each position."""
    positions = site.device.values.get("positions")
    known = {str(name): ohms.base for name, ohms in positions} if isinstance(positions, tuple) else {}
    if site.word not in known:
        return site.gap(f"the state gives it no position ({', '.join(known)})")
    name, ohms = site.role("r"), known[site.word]
    element = resistor(name, (site.nodes[0], site.nodes[1]), ohms or CONTACT)
    return Piece((element,), modes=resistance_modes(site, name, ohms or CONTACT))


def selector(site: Site) -> Piece:
    """A switch from one point to one of several: the state gives the number of the position, from 1, or 'off'."""
    word = site.word
    if not (word == "off" or (word.isdigit() and 1 <= int(word) < len(site.nodes))):
        return site.gap(f"the state gives it no position from 1 to {len(site.nodes) - 1}, or 'off'")
    names = {str(index): site.role(f"to{index}") for index in range(1, len(site.nodes))}
    elements = tuple(
        joint(name, (site.nodes[0], site.nodes[int(index)]), CONTACT if index == word else OPEN)
        for index, name in names.items()
    )
    open_all = Change(dict.fromkeys(names.values(), OPEN))
    return Piece(elements, modes=(Mode("open", f"{site_words(site)} makes no contact", open_all),))


def coil(site: Site) -> Piece:
    """A relay coil with what clamps its kick."""
    ends = (site.nodes[0], site.nodes[1])
    piece = resistance(site, ends)
    elements: tuple[Element, ...] = piece.elements
    clamp = site.text("clamp", "none")
    if clamp == "resistor":
        elements = (*elements, resistor(site.role("clamp"), ends, site.number("clamp-r", 680.0)))
    elif clamp == "diode":
        elements = (*elements, *diode_elements(site.role("clamp"), (ends[1], ends[0])))
    return Piece(elements, params=piece.params, modes=piece.modes, gaps=piece.gaps)


def contact(site: Site) -> Piece:
    """A relay contact: make, and break where there is a third terminal. It follows the coil that works it."""
    rest_closed = len(site.nodes) == 2 and site.text("normally", "open") == "closed"
    ends = [(site.role("make"), site.nodes[1])]
    ends += [(site.role("break"), site.nodes[2])] if len(site.nodes) > 2 else []
    closed_at_rest = [rest_closed, True]
    rest = {name: CONTACT if shut else OPEN for (name, _), shut in zip(ends, closed_at_rest, strict=False)}
    return _moved(site, tuple(ends), rest, CONTACT)


def contactor(site: Site) -> Piece:
    """A contactor follows its coil; where the coil is not in this circuit, it is closed while the vehicle is ready."""
    name = site.role("main")
    shut = site.state.key == "run" and not _coil_of(site)
    return _moved(site, ((name, site.nodes[1]),), {name: _CONTACTOR if shut else OPEN}, _CONTACTOR)


def _coil_of(site: Site) -> tuple[str, str, float, float] | None:
    return site.coils.get(site.text("works-by") or site.device.part)


def _moved(site: Site, ends: tuple[tuple[str, str], ...], rest: dict[str, float], ohms: float) -> Piece:
    thrown = {name: OPEN if value < OPEN else ohms for name, value in rest.items()}
    elements = tuple(joint(name, (site.nodes[0], end), rest[name]) for name, end in ends)
    what, works = site_words(site), site.role("pulled")
    modes = (
        Mode("stuck", f"{what} stays at work", Change(thrown, frozen=(works,))),
        Mode("stuck at rest", f"{what} never moves", Change(rest, frozen=(works,))),
    )
    sensed = _coil_of(site)
    if sensed is None:
        return Piece(elements, modes=modes)
    a, b, pull_in, drop_out = sensed
    return Piece(elements, (Toggle(works, pull_in, drop_out, thrown, rest, across=(a, b)),), modes=modes)


def fuse(site: Site) -> Piece:
    """A fuse: it opens for good when its current exceeds 1.35 times its rating."""
    rating, name = site.number("rating", 0.0), site.role("fuse")
    if rating <= 0:
        return site.gap("its rating must be above zero")
    number = site.text("id", site.device.name)
    out, ohms = number in site.state.pulled, fuse_ohms(rating)
    element = joint(name, (site.nodes[0], site.nodes[1]), OPEN if out else ohms)
    blows = Toggle(site.role("blown"), FUSE_BLOWS * rating, 0.0, {name: OPEN}, {name: ohms}, sense=name, once=True)
    mode = Mode("blown", f"Fuse {number} is blown", Change({name: OPEN}, frozen=(blows.name,)))
    return Piece((element,), () if out else (blows,), modes=(mode,))
