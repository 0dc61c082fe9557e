"""Resistances that nobody types: of a wire by its length and size, of a contact, of a fuse."""

from __future__ import annotations

from authorkit.model.wiring import Wire

# IEC 60028: annealed copper at 20 °C has 1/58 Ω·mm²/m, and gains 0.393 % a kelvin.
COPPER = 1 / 58 * 1e-6  # Ω·m
COPPER_PER_KELVIN = 0.00393

# Common practice for a sound crimped and mated terminal: 5 mΩ at 0.5 mm², less as terminals grow with their wire.
_CONTACT_AREA = 2.5e-3 * 1e-6  # Ω·m²
# Common practice for a bolted eyelet on bare metal.
EYELET = 0.5e-3  # Ω

# What stands for a wire whose length or size is not told, or is zero: short enough to be invisible on any meter.
UNTOLD = 1e-4  # Ω

# Common practice: a blade fuse drops about 75 mV at its rated current.
_FUSE_DROP = 0.075  # V
# ISO 8820-3 (value from memory): at 1.35 times its rating a blade fuse opens within half an hour.
FUSE_BLOWS = 1.35


def wire_ohms(wire: Wire, celsius: float = 20.0) -> float:
    """Resistance of one section of wire, its crimps left out.

    The size is taken as written: an area, or an American gauge by ASTM B258.
    """
    if wire.length is None or wire.size.base <= 0 or wire.length.base <= 0:
        return UNTOLD
    return copper_ohms(wire.length.base, wire.size.base, celsius)


def copper_ohms(length: float, area: float, celsius: float = 20.0) -> float:
    """Resistance of a copper conductor of a length in m and a cross-section in m²."""
    return COPPER * length / area * (1 + COPPER_PER_KELVIN * (celsius - 20.0))


def contact_ohms(area: float) -> float:
    """Resistance of a mated pair of terminals for a wire of this cross-section in m²."""
    return _CONTACT_AREA / area


def fuse_ohms(rating: float) -> float:
    """Resistance of a sound fuse of this rating in A."""
    return _FUSE_DROP / rating
