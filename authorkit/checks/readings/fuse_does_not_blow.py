"""A short draws more than its fuse may carry, and the fuse does not blow: the harness heats up instead."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.circuit.harness import fuse_id
from authorkit.circuit.plan import Overload
from authorkit.problems import Place, Problem
from authorkit.units import Quantity, as_typed

RULE = "fuse-does-not-blow"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each fuse, about the first short (or the sound circuit) that overloads it."""
    reported: dict[Place, tuple[Overload, str, str, set[str]]] = {}
    for circuit in subject.circuits:
        study = subject.study(circuit)
        sentences = {fault.id: fault.sentence for fault in study.faults}
        for each in study.overloads:
            what = sentences.get(each.fault, "The sound circuit takes that.")
            known = reported.setdefault(each.fuse.place, (each, str(circuit.chapter.code), what, set()))
            known[3].add(circuit.series)
    for place, (each, code, what, series) in reported.items():
        rating = each.fuse.values.get("rating")
        assert isinstance(rating, Quantity)  # a fuse without one is not computed
        yield Problem(
            RULE,
            f"The fuse {fuse_id(each.fuse)} of {as_typed(rating)} carries {each.amps:.3g} A in state '{each.state}' of "
            f"{code}{subject.on_series(series)} and does not blow. {what[:-1]}.",
            place,
            found=f"{each.amps:.3g} A through {as_typed(rating)}",
            expected="a current below the rating, or one that blows the fuse (above 1.35 times the rating)",
            suggestion="Correct the rating, the size or the length of the wires. If the vehicle is so, accept the "
            "finding and warn on the page that the short heats the harness.",
        )
