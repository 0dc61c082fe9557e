"""Many faults in few words: 'K131: open, short to battery; contacts X12.4/5: open; B5 thermistor: open, shorted'."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from authorkit.circuit.faults import CORRODED, Fault
from authorkit.model.point import parse_point


@dataclass(frozen=True)
class Said:
    """One fault: the kind of thing ('contact'; '' for wires and devices), its name ('X12.4'), what is wrong with it."""

    kind: str
    thing: str
    wrong: str


_OF_WIRES = {
    "open": "open",
    "added resistance": f"{CORRODED:.0f} Ω added",
    "short to ground": "short to ground",
    "short to battery": "short to battery",
}
_OF_CONTACTS = {"open": "open", "added resistance": f"corroded ({CORRODED:.0f} Ω)"}
_OF_FUSE = re.compile(r"Fuse (?P<fuse>\S+) is (?P<wrong>.+)\.")
_PAIRED = ("bridged", "swapped")

# The wires that are open, with the ends where.
_Ends = Mapping[str, Mapping[str, None]]


def fault_words(faults: Iterable[Fault], among: Iterable[Fault] = ()) -> str:
    """Faults by the thing that is wrong, things with the same faults together; '' for none.

    Without `among` an open wire is told without its end. With all the faults of the circuit in `among` the ends are
    named where not every end of the wire is meant: 'K131: open at X12.4'; 'K131 with contacts: open' says that the
    wire and each contact on its way may be open.
    """
    return said_words(sayings(faults, among))


def sayings(faults: Iterable[Fault], among: Iterable[Fault] = ()) -> tuple[Said, ...]:
    """What `fault_words` says, one thing and what is wrong with it at a time, each once."""
    faults, among = tuple(faults), tuple(among)
    here, everywhere = _open_ends(faults), _open_ends(among)
    whole = _with_contacts(faults, among)
    found: dict[Said, None] = {}
    for fault in faults:
        said = _at_ends(said_of(fault), fault, here, everywhere)
        circuits = [name for name in _circuits(fault) if (name, fault.kind) in whole]
        if said.kind != "contact" and (said.thing, fault.kind) in whole:
            circuits = [said.thing]
        for name in circuits:
            found[Said("with contacts", name, _OF_WIRES[fault.kind])] = None
        if not circuits:
            found[said] = None
    return tuple(found)


def _circuits(fault: Fault) -> list[str]:
    """The wires that end in a contact; nothing for other faults."""
    if not fault.target.startswith("contact:"):
        return []
    return [name for name in fault.blames[2:] if " at " not in name]


def _with_contacts(faults: Iterable[Fault], among: Iterable[Fault]) -> frozenset[tuple[str, str]]:
    """The wires, by the kind of fault, of which every end and every contact is meant."""
    here, everywhere = _places(faults), _places(among)
    return frozenset(
        key
        for key, places in here.items()
        if places == everywhere.get(key) and {place.partition(":")[0] for place in places} == {"wire", "contact"}
    )


def _places(faults: Iterable[Fault]) -> dict[tuple[str, str], set[str]]:
    found: dict[tuple[str, str], set[str]] = {}
    for fault in faults:
        names = [fault.accused] if fault.target.startswith("wire:") else _circuits(fault)
        for name in names if fault.kind in _OF_CONTACTS else ():
            found.setdefault((name, fault.kind), set()).add(f"{fault.target} {fault.at}")
    return found


def said_words(said: Iterable[Said]) -> str:
    """Things with the same faults together."""
    said = tuple(said)
    whole = {each.thing for each in said if each.kind == "with contacts"}
    by_thing: dict[tuple[str, str], list[str]] = {}
    for each in said:
        short = each.thing in whole and each.wrong.startswith("short ")
        by_thing.setdefault(("with contacts" if short else each.kind, each.thing), []).append(each.wrong)
    alike: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for (kind, thing), wrongs in by_thing.items():
        alike.setdefault((kind, tuple(wrongs)), []).append(thing)
    return "; ".join(_one(kind, things, wrongs) for (kind, wrongs), things in alike.items())


def thing_words(fault: Fault) -> str:
    """What a fault is of, as the heading of a list: 'Wire K131', 'Contact X12.4', 'B5', 'Connector M1-A', 'Fuse F4'."""
    said = said_of(fault)
    if said.kind in _PAIRED:
        return f"Connector {fault.accused}" if fault.at else f"Wires {' and '.join(fault.blames)}"
    if fault.kind == "device":
        return f"{said.kind.capitalize()} {fault.accused}".strip()
    return f"{(said.kind or 'wire').capitalize()} {said.thing}"


def said_of(fault: Fault) -> Said:
    """What a fault comes down to."""
    kind, _, name = fault.target.partition(":")
    if fault.kind == "device":
        return _said_of_device(fault)
    if fault.kind == "lost":
        return Said(kind, name, "no contact" if kind == "ground" else "dead")
    if fault.kind == "swapped":
        return Said("swapped", _pair(fault.target.rpartition("|")[2], fault.other.rpartition("|")[2]), "")
    if fault.kind == "short":
        return Said("bridged", _pair(fault.target, fault.other) if fault.at else "–".join(fault.blames), "")
    if kind == "contact":
        return Said("contact", name, _OF_CONTACTS[fault.kind])
    return Said("", fault.accused, _OF_WIRES[fault.kind])


def _pair(one: str, two: str) -> str:
    """'B11.1–2', or 'C311–C312' of different owners."""
    first, second = parse_point(one.partition("/")[0]), parse_point(two.partition("/")[0])
    return f"{first}–{second.cavity if first.owner == second.owner else second}"


def _said_of_device(fault: Fault) -> Said:
    """'B5 thermistor' and 'open', from the sentence that the device itself gives: 'The thermistor in B5 is open.'"""
    if found := _OF_FUSE.fullmatch(fault.sentence):
        return Said("fuse", found["fuse"], found["wrong"])
    part = re.escape(fault.target.partition(":")[0])
    found = re.fullmatch(rf"(?:The |A )?(?P<what>.+?) (?:in|of) {part} (?P<wrong>.+)\.", fault.sentence)
    if found is None:
        return Said("", fault.accused, fault.sentence[:1].lower() + fault.sentence[1:].rstrip("."))
    wrong = re.sub("^(?:is|has) (?:a )?", "", found["wrong"])
    return Said("", f"{fault.accused} {found['what'][:1].lower()}{found['what'][1:]}".strip(), wrong)


def _open_ends(faults: Iterable[Fault]) -> dict[str, dict[str, None]]:
    ends: dict[str, dict[str, None]] = {}
    for fault in faults:
        if fault.kind == "open" and fault.target.startswith("wire:"):
            ends.setdefault(fault.accused, {})[fault.at] = None
    return ends


def _at_ends(said: Said, fault: Fault, here: _Ends, everywhere: _Ends) -> Said:
    """The same, an open wire with its ends where another end of it is not meant."""
    if fault.kind != "open" or not fault.target.startswith("wire:"):
        return said
    ends = here[said.thing]
    return said if len(ends) >= len(everywhere.get(said.thing, {})) else replace(said, wrong=f"open at {_names(ends)}")


def _one(kind: str, things: list[str], wrongs: tuple[str, ...]) -> str:
    """'contacts X12.4/5: open, corroded (100 Ω)'."""
    if kind in _PAIRED:
        return f"{kind} {_names(things)}"
    if kind == "with contacts":
        return f"{_names(things)} {kind}: {', '.join(wrongs)}"
    before = f"{kind}{'s' if len(things) > 1 else ''} " if kind else ""
    told = ", ".join(wrongs).replace("twice its resistance, half its", "twice or half its")
    return f"{before}{_names(things)}: {told}"


def _names(names: Iterable[str]) -> str:
    """Names in a row, the cavities of one connector together: 'M1-A.2/23/41, X12.4'."""
    together: dict[str, list[str]] = {}
    for name in names:
        point = parse_point(name)
        together.setdefault(point.owner, []).append(point.cavity)
    return ", ".join(
        f"{owner}.{'/'.join(sorted(cavities, key=_natural))}" if all(cavities) else owner
        for owner, cavities in together.items()
    )


def _natural(name: str) -> list[tuple[int, str]]:
    """'9' before '25'."""
    return [(int(piece), "") if piece.isdecimal() else (0, piece) for piece in re.split(r"(\d+)", name) if piece]
