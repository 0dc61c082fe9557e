"""A circuit seen through its ports: solved once, then changed at a few of them, many variants at a time.

A port is a pair of nodes, into which current may be put and whose voltage is seen, or a branch, into which voltage may
be put and whose current is seen. Whatever is connected to a port or changes inside a branch is a small system of
equations between ports; no matrix of the whole circuit is solved a second time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from authorkit.circuit.netlist import CHASSIS, INSULATION, OPEN, Element, Netlist

Array = NDArray[np.float64]
Places = NDArray[np.intp]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Ports:
    """`shown` is what each port shows while nothing is put in (variants × ports).

    `gain[v, i, j]` is how much more port i shows for each unit that is put into port j: volts and amperes.
    """

    shown: Array
    gain: Array


@dataclass(frozen=True)
class Terms:
    """What is put into some ports of each variant (variants × a).

    Where `bound`, a port is tied by what it shows: shown = `source` − `ohms` × what is put in. Elsewhere the amount
    `source` is put in as it is. `places` numbers the ports; one that is neither has a source of 0.
    """

    places: Places
    bound: Flags
    ohms: Array
    source: Array


def terminated(ports: Ports, terms: Terms, keep: Places) -> Ports:
    """The circuit with these terms in its ports, seen through the ports `keep` alone.

    NaN where the equations contradict each other.
    """
    tapped = Tapped(ports, np.arange(len(terms.places)), terms)
    all_kept = np.broadcast_to(keep, (len(terms.places), len(keep)))
    return Ports(tapped.shown(all_kept), tapped.gain(all_kept, all_kept))


class Tapped:
    """Variants of a circuit with terms in some of their ports, worked out where somebody looks and nowhere else."""

    def __init__(self, ports: Ports, rows: Places, terms: Terms | None = None) -> None:
        """`rows` number the variant of the ports that each one starts from."""
        self.ports = ports
        self.rows = rows if len(ports.shown) > 1 else np.zeros_like(rows)
        nothing = np.zeros((len(rows), 0))
        self.places, self.put = nothing.astype(np.intp), nothing
        self.answer = nothing[:, :, None]
        if terms is not None and terms.places.shape[1]:
            self._put_in(terms)

    def _put_in(self, terms: Terms) -> None:
        self.places = terms.places
        rows, count = self.rows[:, None], terms.places.shape[1]
        between = self.ports.gain[rows[:, :, None], terms.places[:, :, None], terms.places[:, None, :]]
        between = np.where(terms.bound[:, :, None], between, 0.0)
        places = np.arange(count)
        between[:, places, places] += np.where(terms.bound, terms.ohms, 1.0)
        right = np.zeros((len(rows), count, count + 1))
        right[:, :, 0] = terms.source - np.where(terms.bound, self.ports.shown[rows, terms.places], 0.0)
        right[:, places, places + 1] = np.where(terms.bound, -1.0, 0.0)
        found = solved(between, right)
        self.put, self.answer = found[:, :, 0], found[:, :, 1:]

    def of(self, variants: Places) -> Tapped:
        """Only these variants, in this order."""
        some = Tapped(self.ports, self.rows[variants])
        some.places, some.put, some.answer = self.places[variants], self.put[variants], self.answer[variants]
        return some

    def shown(self, at: Places) -> Array:
        """What some ports of each variant show (variants × ports)."""
        shown = self.ports.shown[self.rows[:, None], at]
        return shown + (self._out(at) @ self.put[:, :, None])[:, :, 0] if self.put.shape[1] else shown

    def gain(self, at: Places, by: Places) -> Array:
        """How much more the ports `at` show for each unit put into the ports `by` (variants × at × by)."""
        rows = self.rows[:, None, None]
        gain = self.ports.gain[rows, at[:, :, None], by[:, None, :]]
        if not self.put.shape[1]:
            return gain
        into = self.ports.gain[rows, self.places[:, :, None], by[:, None, :]]
        return np.asarray(gain + self._out(at) @ (self.answer @ into))

    def _out(self, at: Places) -> Array:
        return self.ports.gain[self.rows[:, None, None], at[:, :, None], self.places[:, None, :]]


def solved(a: Array, b: Array) -> Array:
    """Many small systems at once; NaN where one has no solution."""
    if a.shape[-1] == 1:
        with np.errstate(divide="ignore", invalid="ignore"):
            found = b / a
        return np.asarray(np.where(np.isfinite(found), found, np.nan))
    try:
        return np.asarray(np.linalg.solve(a, b))
    except np.linalg.LinAlgError:
        found = np.full_like(b, np.nan)
        regular = np.linalg.matrix_rank(a) == a.shape[-1]
        found[regular] = np.linalg.solve(a[regular], b[regular])
        return found


class System:
    """A netlist with given element values, and its ports: one for each element, then one for each pair of nodes.

    The port of a closed resistor or a source of voltage is its branch; that of anything else its two nodes. Element
    values that are open, or differ in a variant, are terms at these ports.
    """

    def __init__(self, netlist: Netlist, values: Array, pairs: Sequence[tuple[str, str]] = ()) -> None:
        """`values` are the elements' values in the order of the netlist; `pairs` are further ports."""
        self.elements = netlist.elements
        self.values = values
        self.places = {element.name: place for place, element in enumerate(self.elements)}
        self.kinds = np.array([element.kind for element in self.elements])
        self.is_branch: Flags = (self.kinds == "V") | ((self.kinds == "R") & (values < OPEN))
        self.nodes = {node: place for place, node in enumerate(netlist.nodes)}
        self.ports = self._ports(pairs)

    def pair(self, index: int) -> int:
        """The number of the port that is the pair of this index."""
        return len(self.elements) + index

    def _ports(self, pairs: Sequence[tuple[str, str]]) -> Ports:
        """Solve once. NaN where the circuit has no solution (contradicting ideal sources, a loop of them)."""
        a, b, columns = self._equations(pairs)
        try:
            inverse = np.linalg.inv(a)
        except np.linalg.LinAlgError:
            size = columns.shape[1]
            return Ports(np.full((1, size), np.nan), np.full((1, size, size), np.nan))
        inverse += inverse @ (np.eye(len(a)) - a @ inverse)  # currents and insulation differ by many powers of ten
        behind = inverse @ columns
        return Ports((columns.T @ (inverse @ b))[None], (columns.T @ behind)[None])

    def _equations(self, pairs: Sequence[tuple[str, str]]) -> tuple[Array, Array, Array]:
        """Modified nodal analysis: node voltages and branch currents, A x = b, and the ports as columns.

        A branch has a row: v(a) − v(b) = volts for a source, v(a) − v(b) − R i = 0 for a resistor. The last row and
        column, the body's, are dropped in the end.
        """
        nodes = {**self.nodes, CHASSIS: -1}
        ends = np.array([(nodes[element.a], nodes[element.b]) for element in self.elements]).reshape(-1, 2)
        branches = np.flatnonzero(self.is_branch)
        own = len(self.nodes) + np.arange(len(branches))
        size = len(self.nodes) + len(branches)
        a, b = np.zeros((size + 1, size + 1)), np.zeros(size + 1)
        a[np.arange(len(self.nodes)), np.arange(len(self.nodes))] = 1 / INSULATION
        for end, sign in ((0, 1.0), (1, -1.0)):
            at = ends[branches, end]
            a[at, own] += sign
            a[own, at] += sign
        resistors = self.kinds[branches] == "R"
        a[own[resistors], own[resistors]] = -self.values[branches[resistors]]
        b[own[~resistors]] = self.values[branches[~resistors]]
        for place, element in enumerate(self.elements):
            if element.gain:
                row = own[np.searchsorted(branches, place)]
                a[row, nodes[element.control[0]]] -= element.gain
                a[row, nodes[element.control[1]]] += element.gain
            if element.kind == "I":
                b[ends[place, 0]] -= self.values[place]
                b[ends[place, 1]] += self.values[place]
        columns = self._columns(np.vstack([ends, [(nodes[x], nodes[y]) for x, y in pairs]]) if pairs else ends, size)
        return a[:-1, :-1], b[:-1], columns

    def _columns(self, ends: NDArray[np.intp], size: int) -> Array:
        columns = np.zeros((size + 1, len(ends)))
        branches = np.flatnonzero(self.is_branch)
        pairs = np.setdiff1d(np.arange(len(ends)), branches)
        columns[ends[pairs, 0], pairs] += 1.0
        columns[ends[pairs, 1], pairs] -= 1.0
        columns[len(self.nodes) + np.arange(len(branches)), branches] = 1.0
        return columns[:-1]

    def terms(self, values: Array) -> Terms:
        """What turns this circuit into variants with other element values (variants × elements)."""
        rows, elements = np.nonzero(values != self.values)
        counts = np.bincount(rows, minlength=len(values))
        slot = np.arange(len(rows)) - np.repeat(np.cumsum(counts) - counts, counts)
        shape = (len(values), int(counts.max(initial=0)))
        terms = Terms(np.zeros(shape, dtype=np.intp), np.zeros(shape, dtype=bool), np.ones(shape), np.zeros(shape))
        terms.places[rows, slot] = elements
        now, base, kinds = values[rows, elements], self.values[elements], self.kinds[elements]
        terms.bound[rows, slot] = kinds == "R"
        with np.errstate(divide="ignore", invalid="ignore"):
            terms.ohms[rows, slot] = np.where(self.is_branch[elements], -1 / (now - base), now)
        moved = np.where(kinds == "V", now - base, base - now)
        terms.source[rows, slot] = np.where(kinds == "R", 0.0, moved)
        return terms

    def amps(self, shown: Array, values: Array, elements: Places) -> Array:
        """Current through resistors or sources of voltage from what their ports show (… × elements)."""
        with np.errstate(divide="ignore", invalid="ignore"):
            through = np.where(values < OPEN, shown / values, 0.0)
        return np.asarray(np.where(self.is_branch[elements], shown, through))


def base_values(elements: Sequence[Element]) -> Array:
    """The values of elements as they stand."""
    return np.array([element.value for element in elements])
