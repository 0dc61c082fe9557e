"""Diodes: Newton's method on their ports, for many variants at once.

Only the junctions that may conduct take part; one that its surroundings hold well below zero lets its saturation
current through, which needs no iteration.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from authorkit.circuit.devices.lights import THERMAL
from authorkit.circuit.netlist import Element
from authorkit.circuit.ports import Array, Flags, Places, solved

_STEPS = 200
_STEP_DONE = 1e-10  # V
_REST_DONE = 1e-10  # V, relative to the port's own resistance
_BLOCKED = -1.0  # V, at which a junction is sure to let nothing but its saturation current through


@dataclass(frozen=True)
class Junctions:
    """The diodes of a circuit: saturation currents (A) and emission times thermal voltage (V)."""

    saturation: Array
    scale: Array

    def __len__(self) -> int:
        return len(self.scale)

    def currents(self, resting: Array, gain: Array) -> Array:
        """The currents (variants × diodes) for what the diodes' ports show without them, and their gains.

        NaN where none were found within the limits of steps.
        """
        amps = np.broadcast_to(-self.saturation, resting.shape).copy()
        if not len(self):
            return amps
        conducting = self._surroundings(resting, gain, amps) > _BLOCKED
        while True:
            some = np.flatnonzero(conducting.any(axis=1))
            if not len(some):
                return amps
            which = np.flatnonzero(conducting[some].any(axis=0))
            amps[some[:, None], which] = self._newton(some, which, resting, gain)
            late = (self._surroundings(resting, gain, amps) > _BLOCKED) & ~conducting
            late[np.ix_(some, which)] = False
            if not late.any():
                return amps
            conducting |= late

    def _surroundings(self, resting: Array, gain: Array, amps: Array) -> Array:
        """The voltage at each junction with these currents."""
        return np.asarray(resting - (gain @ amps[:, :, None])[:, :, 0])

    def _newton(self, some: Places, which: Places, resting: Array, gain: Array) -> Array:
        blocked = np.setdiff1d(np.arange(len(self)), which)
        z = gain[np.ix_(some, which, which)]
        v0 = resting[np.ix_(some, which)] + gain[np.ix_(some, which, blocked)] @ self.saturation[blocked]
        return _Iteration(self.saturation[which], self.scale[which]).run(v0, z)

    def slopes(self, amps: Array) -> Array:
        """The conductance of each junction at these currents, in S."""
        return np.asarray((amps + self.saturation) / self.scale)


def junctions_of(elements: tuple[Element, ...]) -> Junctions:
    """The diodes among these elements, in their order."""
    diodes = [element for element in elements if element.kind == "D"]
    return Junctions(
        np.array([diode.value for diode in diodes]), np.array([diode.emission * THERMAL for diode in diodes])
    )


@dataclass(frozen=True)
class _Iteration:
    saturation: Array
    scale: Array

    def run(self, v0: Array, z: Array) -> Array:
        """Currents; variants that are done leave the iteration."""
        critical = self.scale * np.log(self.scale / (math.sqrt(2) * self.saturation))
        v = np.minimum(v0, critical)
        amps, left = np.full_like(v0, np.nan), np.arange(len(v0))
        eye = np.eye(v.shape[1])
        for _ in range(_STEPS):
            now, slope = self._law(v)
            rest = v - v0 + (z @ now[:, :, None])[:, :, 0]
            step = solved(eye + z * slope[:, None, :], -rest[:, :, None])[:, :, 0]
            after = self._limited(v + step, v, critical)
            diagonal = 1 + np.einsum("spp->sp", z) * slope
            small = (np.abs(after - v) < _STEP_DONE) & (np.abs(rest) / diagonal < _REST_DONE)
            done: Flags = small.all(axis=1)
            amps[left[done]] = self._law(after[done])[0]
            stay = ~done & np.isfinite(after).all(axis=1)
            if not stay.any():
                break
            left, v, v0, z = left[stay], after[stay], v0[stay], z[stay]
        return amps

    def _law(self, v: Array) -> tuple[Array, Array]:
        """Shockley's law: current and slope."""
        grown = np.exp(np.clip(v / self.scale, -200.0, 200.0))
        return self.saturation * (grown - 1), self.saturation * grown / self.scale

    def _limited(self, after: Array, before: Array, critical: Array) -> Array:
        """Junction limiting: above the knee a step grows like the logarithm of what Newton asks for."""
        leap = np.maximum((after - before) / self.scale, -0.999999)
        high = (after > critical) & (np.abs(after - before) > 2 * self.scale)
        grown = np.where(
            before > 0,
            before + self.scale * np.log1p(leap),
            self.scale * np.log(np.maximum(after, 1e-12) / self.scale),
        )
        falling = high & (before > 0) & (leap <= -0.999)
        return np.where(falling, critical, np.where(high, grown, after))
