"""Lamps and diodes."""

from __future__ import annotations

import math

from authorkit.circuit.netlist import OPEN, Change, Element, Mode, Piece, Toggle, joint, resistor
from authorkit.circuit.site import SHORT, Site, site_words

# Boltzmann constant by elementary charge (exact since the SI of 2019), at 27 °C, which SPICE takes when told nothing.
THERMAL = 1.380649e-23 / 1.602176634e-19 * 300.15  # V
_TEST_CURRENT = 0.010  # A, at which a forward voltage is told: common practice
_SERIES = 1.0  # Ω inside every diode
_CLAMP_SERIES = 1e3  # Ω in front of an input's protection: common practice
_SILICON = 0.7  # V
COLD_PART = 0.1  # a cold filament has about a tenth of its hot resistance: common practice


def lamp(site: Site) -> Piece:
    """A filament: cold until it is lit."""
    volts, watts = site.number("volts", 0.0), site.number("watts", 0.0)
    if volts <= 0 or watts <= 0:
        return site.gap("its voltage and power must be above zero")
    name, hot = site.role("r"), volts * volts / watts
    cold = site.number("cold", hot * COLD_PART)
    lit = Toggle(
        site.role("lit"),
        0.25 * volts,
        0.1 * volts,
        {name: hot},
        {name: cold},
        across=(site.nodes[0], site.nodes[1]),
    )
    mode = Mode("open", f"{site_words(site)} is burnt out", Change({name: OPEN}, frozen=(lit.name,)))
    return Piece((joint(name, (site.nodes[0], site.nodes[1]), cold),), (lit,), modes=(mode,))


def diode(site: Site) -> Piece:
    """A diode or light-emitting diode with its forward voltage at 10 mA."""
    emission = 1.0 if site.device.kind == "diode" else 2.0
    drop = site.number("drop", _SILICON)
    elements = diode_elements(site.name, (site.nodes[0], site.nodes[1]), drop=drop, emission=emission)
    series = elements[1].name
    what = site_words(site)
    short = resistor(site.role("short"), (site.nodes[0], site.nodes[1]), SHORT)
    modes = (
        Mode("open", f"{what} is open", Change({series: OPEN})),
        Mode("shorted", f"{what} is shorted", Change({}, (short,))),
    )
    return Piece(elements, modes=modes)


def diode_elements(
    name: str, ends: tuple[str, str], *, drop: float = _SILICON, emission: float = 1.0, series: float = _SERIES
) -> tuple[Element, Element]:
    """A junction with the resistance in series without which no solver may meet one."""
    saturation = _TEST_CURRENT / math.expm1(drop / (emission * THERMAL))
    inner = f"{name}:junction"
    return (
        Element(f"{name}:d", "D", ends[0], inner, saturation, emission=emission),
        joint(f"{name}:rs", (inner, ends[1]), series),
    )


def clamp(site: Site) -> Piece:
    """An input's protection: one diode to the supply, one from the part's ground."""
    rail, rails = site.rail("to")
    up = diode_elements(site.role("up"), (site.nodes[0], rail), series=_CLAMP_SERIES)
    down = diode_elements(site.role("down"), (site.ground, site.nodes[0]), series=_CLAMP_SERIES)
    return Piece((*up, *down), rails=rails)
