"""Which faults an author's words mean."""

from __future__ import annotations

import pytest

from authorkit.circuit.faults import Fault
from authorkit.circuit.suspects import SUSPECT, SUSPICIONS, meant

OPEN_END = Fault("a", "", "open", "wire:K131", at="X12.4", blames=("K131", "K131 at X12", "K131 at X12.4"))
OTHER_END = Fault("b", "", "open", "wire:K131", at="B5.1", blames=("K131", "K131 at B5", "K131 at B5.1"))
CONTACT = Fault(
    "c", "", "added resistance", "contact:X12.4", at="X12.4", blames=("X12.4", "X12", "K131", "K131 at X12")
)
BRIDGE = Fault("d", "", "short", "B5.1", "B5.2", at="B5.1", blames=("B5", "K131", "Z141"))
BLOWN = Fault("e", "", "device", "FB1:fuse", at="blown", blames=("F3",))
STUCK = Fault("f", "", "device", "SW5:switch", at="stuck-open", blames=("SW5",))
WORN = Fault("g", "", "device", "B11:pot", at="out of tolerance", blames=("B11", "track D"))
EVERY = (OPEN_END, OTHER_END, CONTACT, BRIDGE, BLOWN, STUCK, WORN)


@pytest.mark.parametrize(
    ("suspect", "faults"),
    [
        ("open K131", (OPEN_END, OTHER_END)),
        ("open wire K131", (OPEN_END, OTHER_END)),
        ("open K131 at X12", (OPEN_END,)),
        ("open K131 at B5.1", (OTHER_END,)),
        ("added resistance K131 at X12", (CONTACT,)),
        ("short to Z141 K131", (BRIDGE,)),
        ("blown F3", (BLOWN,)),
        ("stuck SW5", (STUCK,)),
        ("open SW5", (STUCK,)),
        ("out of tolerance track D", (WORN,)),
        ("internal B11", (WORN,)),
        ("short to ground K131", ()),
        ("blown F9", ()),
        ("tired B11", ()),
    ],
)
def test_words_mean_these_faults(suspect: str, faults: tuple[Fault, ...]) -> None:
    assert meant(suspect, EVERY) == faults


def test_every_suspicion_can_be_written() -> None:
    for what in SUSPICIONS:
        assert SUSPECT.fullmatch(f"{what.replace('NAME', 'Z141')} K131"), what
