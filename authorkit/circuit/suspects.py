"""Which of the computed faults an author means by a suspect: 'open K131 at X12', 'blown F3', 'stuck SW5'."""

from __future__ import annotations

import re
from collections.abc import Iterable

from authorkit.circuit.faults import Fault

# What can be wrong, as a suspect begins, and how the words of the devices' own failures begin that it stands for.
SUSPICIONS: dict[str, tuple[str, ...]] = {
    "open": ("open", "stuck-open", "lost"),
    "short to ground": ("short to ground",),
    "short to battery": (),
    "short to NAME": (),
    "added resistance": ("high", "worn", "out of tolerance"),
    "shorted": ("shorted",),
    "out of tolerance": ("high", "low", "worn", "out of tolerance"),
    "stuck": ("stuck", "stalled"),
    "lost": ("lost",),
    "blown": ("blown",),
    "internal": ("",),
}
SUSPECT = re.compile(
    r"(?P<what>open|short to ground|short to battery|short to (?P<other>\S+)|added resistance|shorted|out of tolerance"
    r"|stuck|lost|blown|internal)\s+(?P<thing>.+?)(?:\s+at\s+(?P<point>\S+))?"
)


def meant(suspect: str, faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """The faults of a circuit that a suspect names; nothing where it names none of them.

    A thing may stand after words for its kind ('open wire K131'); a name of two words ('track D') is found as well. A
    name that a part shares with its plug means the part, where it can fail so.
    """
    found = SUSPECT.fullmatch(suspect.strip())
    if found is None:
        return ()
    what = suspicion_of(found)
    names = {found["thing"], *found["thing"].split()}
    if found["point"]:
        names = {f"{name} at {found['point']}" for name in names} | (names & {found["point"]})
    named = [
        fault
        for fault in faults
        if names & {*fault.blames, fault.at}
        and is_suspicion(fault, what)
        and (what != "short to NAME" or found["other"] in {*fault.blames, fault.other})
    ]
    return tuple(fault for fault in named if fault.kind == "device") or tuple(named)


def suspicion_of(found: re.Match[str]) -> str:
    """The key of SUSPICIONS that a match of SUSPECT stands for."""
    return "short to NAME" if found["other"] not in (None, "ground", "battery") else found["what"]


def is_suspicion(fault: Fault, what: str) -> bool:
    """Whether a fault is of the kind that a key of SUSPICIONS names."""
    if fault.kind == "device":
        return fault.at.startswith(SUSPICIONS[what]) if SUSPICIONS[what] else False
    if what == "short to NAME":
        return fault.kind == "short"
    return fault.kind == what
