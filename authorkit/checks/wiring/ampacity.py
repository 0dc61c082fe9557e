"""How large a fuse may be for a wire size."""

from __future__ import annotations

from authorkit.units import Quantity

# Cross-section in mm² and the largest fuse in A for one insulated copper wire in a vehicle harness. Common practice,
# from memory: the steps follow the usual fuse ratings, not a table of a standard. Length, temperature and bundling may
# ask for less; the vehicle maker's own figure comes first.
_LARGEST_FUSE = (
    (0.13, 2.0),
    (0.22, 5.0),
    (0.35, 7.5),
    (0.5, 10.0),
    (0.75, 15.0),
    (1.0, 20.0),
    (1.5, 25.0),
    (2.5, 30.0),
    (4.0, 40.0),
    (6.0, 60.0),
    (10.0, 80.0),
    (16.0, 100.0),
    (25.0, 150.0),
    (35.0, 200.0),
    (50.0, 250.0),
    (70.0, 300.0),
    (95.0, 350.0),
)

# A gauge is judged by its area; 20 AWG (0.518 mm²) and the like must not fall a step for a rounding.
_ROUNDING = 1e-9


def largest_fuse(size: Quantity) -> float:
    """The largest fuse in A for a wire of this size; of a size between two rows the smaller row counts.

    0 A for a wire thinner than 0.13 mm², which no fuse of a vehicle protects.
    """
    area = size.base * 1e6
    return max((fuse for row, fuse in _LARGEST_FUSE if row <= area + _ROUNDING), default=0.0)


def least_size(amperes: float) -> float | None:
    """The thinnest row in mm² that a fuse of this rating may protect; None if no row is thick enough."""
    return next((row for row, fuse in _LARGEST_FUSE if fuse >= amperes), None)
