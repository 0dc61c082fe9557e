"""Fuses that carry more than their rating and do not blow: a short that heats the harness instead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from authorkit.circuit.faults import Fault, change_of
from authorkit.circuit.netlist import Change, Netlist
from authorkit.circuit.rest import SETTLED, at_rest
from authorkit.circuit.wires import FUSE_BLOWS

_SHORTS = ("short to ground", "short")


def overloads_of(netlist: Netlist, faults: Sequence[Fault]) -> Iterator[tuple[int, str, float]]:
    """Each fuse above its rating and whole, in a fixed circuit at nominal values.

    Gives the number of the fault (−1: the sound circuit; of faults only shorts are looked at), the name of the fuse's
    element and its current in amperes.
    """
    fuses = [place for place, toggle in enumerate(netlist.toggles) if toggle.once]
    if not fuses:
        return
    shorts = [number for number, fault in enumerate(faults) if fault.kind in _SHORTS]
    rest = at_rest(netlist, [Change(), *(change_of(netlist, faults[number]) for number in shorts)])
    for place in fuses:
        toggle = netlist.toggles[place]
        amps, whole = rest.sensed[:, place], ~rest.thrown[:, place]
        settled = np.array([status == SETTLED for status in rest.status])
        for row in np.flatnonzero(settled & whole & (amps > toggle.rise / FUSE_BLOWS) & (amps <= toggle.rise)):
            yield (-1, *shorts)[row], toggle.sense, float(amps[row])
