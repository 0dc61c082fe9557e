"""Batteries, packs, converters, sensor supplies and other sources."""

from __future__ import annotations

from authorkit.circuit.netlist import CHASSIS, OPEN, Change, Element, Mode, Piece, Toggle, joint
from authorkit.circuit.site import Site, site_words

_PACK = 0.1  # Ω inside a pack whose resistance is not told
_SUPPLY = 0.05  # Ω of a regulated supply
_AMPLIFIER = 10.0  # Ω of an excitation amplifier
_CONVERTS_FROM = 50.0  # V at the input of a converter


def cells(site: Site) -> Piece:
    """A battery or pack: its voltage behind its internal resistance."""
    return _behind(
        site, (site.nodes[0], site.nodes[1]), site.number("r", _PACK if site.device.kind == "pack" else 0.01)
    )


def reference(site: Site) -> Piece:
    """A sensor supply against the module's ground; above its limit it folds back to the limit."""
    volts, name = site.number("volts", 0.0), site.role("r")
    piece = _behind(site, (site.nodes[0], site.ground), _SUPPLY if site.state.awake else OPEN)
    limit = site.number("limit", 0.0)
    if not site.state.awake or limit <= 0:
        return piece
    folded = Toggle(site.role("limit"), limit, limit / 2, {name: volts / limit}, {name: _SUPPLY}, sense=name)
    lost = Mode("lost", f"{site_words(site)} gives nothing", Change({name: OPEN}, frozen=(folded.name,)))
    return Piece(piece.elements, (folded,), piece.params, (lost,))


def loop_source(site: Site) -> Piece:
    """An interlock loop's source behind its resistor.

    It works between its own two pins. What holds the loop at the module's ground is a device of its own: a pull-down
    or a `module-ground` at the return pin.
    """
    ohms = site.number("r", 1e3) if site.state.awake else OPEN
    return _behind(site, (site.nodes[0], site.nodes[1]), ohms)


def excitation(site: Site) -> Piece:
    """A source of alternating voltage: to a d.c. meter nothing, behind the resistance of its amplifier."""
    name, inner = site.role("r"), site.role("inner")
    ohms = _AMPLIFIER if site.state.awake else OPEN
    return Piece(
        (
            Element(site.role("v"), "V", inner, site.nodes[1], 0.0),
            joint(name, (inner, site.nodes[0]), ohms),
        ),
        modes=(Mode("internal", f"{site_words(site)} gives nothing", Change({name: OPEN})),),
    )


def converter(site: Site) -> Piece:
    """A regulated output against the body while its input is fed."""
    name = site.role("r")
    piece = _behind(site, (site.nodes[2], CHASSIS), _SUPPLY)
    fed = Toggle(
        site.role("fed"),
        _CONVERTS_FROM,
        _CONVERTS_FROM * 0.9,
        {name: _SUPPLY},
        {name: OPEN},
        across=(site.nodes[0], site.nodes[1]),
        start=True,
        signed=True,
    )
    lost = Mode("internal", f"{site_words(site)} gives nothing", Change({name: OPEN}, frozen=(fed.name,)))
    return Piece(piece.elements, (fed,), piece.params, (lost,))


def _behind(site: Site, ends: tuple[str, str], ohms: float) -> Piece:
    """The source's voltage from ends[1] to ends[0] behind a resistance."""
    inner, name = site.role("inner"), site.role("r")
    elements = (
        Element(site.role("v"), "V", inner, ends[1], site.number("volts", 0.0), site.param_name("volts")),
        joint(name, (inner, ends[0]), ohms),
    )
    mode = Mode("lost", f"{site_words(site)} gives nothing", Change({name: OPEN}))
    return Piece(elements, params=site.param("volts"), modes=(mode,))
