"""Between which limits a reading can lie on sound vehicles: the corners of all tolerances.

In a linear circuit a voltage is monotone in each single resistance and source, so that the extremes over independent
tolerances lie at corners (bilinear theorem; circuits with all corners computed are 'guaranteed'). Two things break
that and are named: a diode or a reading made of two states ('corners'), and one tolerance that moves several elements
('grid': that one is stepped through as well). With more tolerances than can be combined, corners are climbed to
('ascent'). Readings with a fault are taken at the two corners to which the effects of single tolerances point
('signs'): exact where no effect changes its sign within the tolerances, which holds in circuits without a bridge.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from authorkit.circuit.netlist import Netlist, Param

Array = NDArray[np.float64]
Places = NDArray[np.intp]
Evaluate = Callable[[Array], Array]  # sets of parameters (sets × params) to readings (sets × measurements)

BASES = ("", "guaranteed", "grid", "corners", "ascent", "signs")

ALL_CORNERS_UP_TO = 10  # tolerances that matter; with more, corners are climbed to
_GRID = 5
_NOTHING = 1e-9  # V or A
_SETS = 4096


@dataclass(frozen=True)
class Extent:
    """The lowest and highest value of one measurement, and how sure: 'guaranteed', 'grid', 'corners' or 'ascent'."""

    low: float
    high: float
    basis: str


def is_linear(netlist: Netlist) -> bool:
    """Whether the circuit holds no diode."""
    return all(element.kind != "D" for element in netlist.elements)


def shared_params(netlist: Netlist) -> frozenset[str]:
    """The tolerances that move more than one element at once."""
    counts = Counter(element.param for element in netlist.elements if element.param)
    return frozenset(name for name, count in counts.items() if count > 1)


def extents(evaluate: Evaluate, params: tuple[Param, ...], shared: frozenset[str], linear: bool) -> list[Extent]:
    """The extent of each measurement.

    A tolerance that moves a measurement by less than a ten-thousandth is not combined with the others; twice what it
    does alone is added on both sides. What each does is looked at from the nominal values and from some corners: beside
    a balanced bridge a resistor does nothing, away from the balance it does.
    """
    nominal = np.array([param.nominal for param in params])
    bases = _bases(params)
    rows = [_stepped(params, base) for base in bases]
    readings = evaluate(np.vstack([nominal[None, :], bases, *rows]))
    centre, at_bases = readings[0], readings[1 : 1 + len(bases)]
    moved = readings[1 + len(bases) :].reshape(len(bases), len(params), 2, readings.shape[1])
    effects = np.abs(moved - at_bases[:, None, None, :]).max(axis=(0, 2)) if params else np.zeros((0, len(centre)))
    evaluate = _remembering(evaluate)
    return [
        _extent(evaluate, params, (column, float(centre[column]), effects[:, column]), (shared, linear))
        for column in range(readings.shape[1])
    ]


def corner_settings(effects: Array, parts: Array) -> tuple[Places, Places, Array]:
    """For each reading the corner that makes it lowest and the one that makes it highest.

    `effects` tells how each reading moves with each tolerance over its whole width (readings × params), `parts` the
    ends of each tolerance as parts of the nominal value. The answer is two lists of numbers of settings, and the
    settings (× params). A tolerance that does next to nothing stays nominal.
    """
    signs = np.where(np.abs(effects) > _NOTHING, np.sign(effects), 0).astype(np.int8)
    both = np.ascontiguousarray(np.vstack([-signs, signs]))
    if not both.shape[1]:
        nothing = np.zeros(len(effects), dtype=np.intp)
        return nothing, nothing, np.ones((1, 0))
    _, first, number = np.unique(both.view(f"V{both.shape[1]}").ravel(), return_index=True, return_inverse=True)
    corners = both[first]
    factors = np.where(corners > 0, parts[:, 1], np.where(corners < 0, parts[:, 0], 1.0))
    return number[: len(effects)], number[len(effects) :], factors


def _remembering(evaluate: Evaluate) -> Evaluate:
    """Measurements that hang on the same tolerances ask for the same corners; each is solved once for all of them."""
    known: dict[bytes, Array] = {}

    def remembered(sets: Array) -> Array:
        key = sets.tobytes()
        if key not in known:
            known[key] = evaluate(sets)
        return known[key]

    return remembered


def _bases(params: tuple[Param, ...]) -> Array:
    """The nominal values and some corners, the same ones each time: any two tolerances differ in one of them."""
    ends = np.array([_ends(param) for param in params]).reshape(len(params), 2)
    places = np.arange(len(params))
    picks = [(places >> bit) & 1 for bit in range(max(1, len(params).bit_length()))]
    picks.append(np.random.default_rng(17).integers(0, 2, len(params)))
    return np.vstack([[param.nominal for param in params], *(ends[places, pick] for pick in picks)])


def one_at_a_time(params: tuple[Param, ...]) -> Array:
    """Each tolerance at its low and its high end in turn, the others nominal (2 × params rows)."""
    return _stepped(params, np.array([param.nominal for param in params], dtype=float))


def _stepped(params: tuple[Param, ...], base: Array) -> Array:
    rows = [_flipped(base, place, value) for place, param in enumerate(params) for value in _ends(param)]
    return np.array(rows, dtype=float).reshape(len(rows), len(params))


def _extent(
    evaluate: Evaluate,
    params: tuple[Param, ...],
    measured: tuple[int, float, Array],
    nature: tuple[frozenset[str], bool],
) -> Extent:
    column, middle, effects = measured
    shared, linear = nature
    if not np.isfinite(effects).all() or not np.isfinite(middle):
        return Extent(np.nan, np.nan, "corners")
    matters = [place for place in range(len(params)) if effects[place] > max(1e-4 * abs(middle), 1e-5)]
    guard = 2 * float(effects.sum() - effects[matters].sum())
    grid = [place for place in matters if params[place].name in shared]
    count = 2 ** (len(matters) - len(grid)) * _GRID ** len(grid)
    if len(matters) > ALL_CORNERS_UP_TO or count > _SETS:
        low, high = _ascent(evaluate, params, column, matters)
        return Extent(low - guard, high + guard, "ascent")
    values = evaluate(_corners(params, matters, grid))[:, column]
    basis = "corners" if not linear else "grid" if grid else "guaranteed"
    return Extent(float(values.min()) - guard, float(values.max()) + guard, basis)


def _corners(params: tuple[Param, ...], matters: list[int], grid: list[int]) -> Array:
    levels = [
        np.linspace(params[place].low, params[place].high, _GRID if place in grid else 2).tolist() for place in matters
    ]
    rows = np.tile([float(param.nominal) for param in params], (int(np.prod([len(level) for level in levels])), 1))
    for row, combination in zip(rows, product(*levels), strict=True):
        row[matters] = combination
    return np.asarray(rows, dtype=float)


def _ascent(evaluate: Evaluate, params: tuple[Param, ...], column: int, matters: list[int]) -> tuple[float, float]:
    """From each extreme corner by single steps, flip one tolerance at a time while it helps."""
    ends = []
    for sign in (-1.0, 1.0):
        row = np.array([param.nominal for param in params], dtype=float)
        best = sign * float(evaluate(row[None, :])[0, column])
        improved = True
        while improved:
            rows = np.array([_flipped(row, place, end) for place in matters for end in _ends(params[place])])
            values = sign * evaluate(rows)[:, column]
            place = int(values.argmax())
            improved = bool(values[place] > best + 1e-12)
            if improved:
                row, best = rows[place], float(values[place])
        ends.append(sign * best)
    return min(ends), max(ends)


def _ends(param: Param) -> tuple[float, float]:
    return param.low, param.high


def _flipped(row: Array, place: int, value: float) -> Array:
    after = row.copy()
    after[place] = value
    return after
