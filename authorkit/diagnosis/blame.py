"""Which names of a verdict are right for a fault: 'K131', 'connector B5', 'G2', 'F3', 'M1'."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from authorkit.circuit.faults import Fault
from authorkit.model.point import parse_point
from authorkit.model.wiring import Connector, Wiring

# Words that may stand before a name in a verdict. A plug often carries the name of the part that it sits on ('B5'):
# only these words tell that the plug is meant.
PLUG_WORDS = ("connector", "plug")
_OTHER_WORDS = ("part", "module", "relay", "cavity", "terminal", "wire", "circuit", "ground", "fuse", "splice", "feed")


def plain_name(text: str) -> str:
    """A name of a verdict in one form: 'wire K131' is 'K131', 'plug B5' is 'connector B5'."""
    word, _, name = text.strip().partition(" ")
    if name and word.lower() in PLUG_WORDS:
        return f"connector {name.strip()}"
    return name.strip() if name and word.lower() in _OTHER_WORDS else text.strip()


def is_right(verdict: Iterable[str], blamed: frozenset[str]) -> bool:
    """Whether some name of a verdict accuses a fault."""
    return any(plain_name(name) in blamed for name in verdict)


def blames(wiring: Wiring, faults: Iterable[Fault]) -> dict[str, frozenset[str]]:
    """The right names of each fault by its id, as `plain_name` writes them.

    They are those of `Fault.blames`, with one difference: the terminals of a plug are never the fault of the part that
    the plug sits on, though both may have one name. The end of a wire belongs to the plug that it is crimped for, too.
    """
    connectors = {connector.id: connector for connector in wiring.connectors}
    return {fault.id: frozenset(_names(fault, connectors)) for fault in faults}


def _names(fault: Fault, connectors: Mapping[str, Connector]) -> Iterator[str]:
    for name in fault.blames:
        plug = connectors.get(name) if fault.kind != "device" else None
        if plug is not None:
            yield f"connector {name}"
        if plug is None or plug.in_line:
            yield name
    at = parse_point(fault.at) if fault.kind == "open" else None
    if at is not None and at.is_cavity:
        yield from (str(at), f"connector {at.owner}")
