"""A fuse is larger than a wire it feeds can carry: the wire burns before the fuse blows."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.ampacity import largest_fuse, least_size
from authorkit.checks.wiring.sections import wire_words
from authorkit.checks.wiring.supply_paths import paths_of, wires_from
from authorkit.circuit.harness import fuse_id, with_inner_points_apart
from authorkit.model.wiring import Device, Wire
from authorkit.problems import Place, Problem
from authorkit.units import Quantity, as_typed

RULE = "fuse-too-large"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each fuse, about the thinnest wire between it and the loads that it feeds.

    The path follows splices, in-line connectors, switches and relay contacts, and ends at loads, modules and the next
    fuse.
    """
    reported: set[tuple[Place, Place]] = set()
    for series, whole in subject.wholes.items():
        wiring = with_inner_points_apart(whole)
        paths = paths_of(wiring)
        for fuse in wiring.devices:
            rating = fuse.values.get("rating")
            if fuse.kind != "fuse" or not isinstance(rating, Quantity):
                continue
            wires = wires_from([fuse.terminals[-1]], paths)
            thin = sorted((w for w in wires if largest_fuse(w.size) < rating.base), key=lambda wire: wire.size.base)
            if thin and (fuse.place, thin[0].place) not in reported:
                reported.add((fuse.place, thin[0].place))
                is_limited = len(subject.holds(fuse) & subject.holds(thin[0])) < len(subject.series)
                yield _problem(fuse, rating, thin, subject.on_series({series}) if is_limited else "")


def _problem(fuse: Device, rating: Quantity, thin: list[Wire], where: str) -> Problem:
    wire = thin[0]
    carries = largest_fuse(wire.size)
    least = least_size(rating.base)
    thicker = f", or a wire of {least:g} mm²" if least else ""
    return Problem(
        RULE,
        f"The fuse {fuse_id(fuse)} of {as_typed(rating)} feeds the wire {wire_words(wire)} of {as_typed(wire.size)}, "
        f"which takes a fuse of {carries:g} A at most{where}.",
        wire.place,
        found=f"{as_typed(rating)} for {as_typed(wire.size)}",
        expected=f"{carries:g} A or less{thicker}",
        suggestion="Correct the fuse or the wire size. If the maker does it so, accept the finding with the reason.",
        also=tuple(dict.fromkeys((fuse.place, *(other.place for other in thin[1:8])))),
    )
