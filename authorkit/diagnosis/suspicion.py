"""Which faults a sentence of the author means: 'open K131 at X12', 'blown F3', or a name that a verdict may give."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from authorkit.circuit.faults import Fault
from authorkit.circuit.suspects import SUSPECT, is_suspicion, meant, suspicion_of
from authorkit.diagnosis.blame import plain_name
from authorkit.model.chapter import Chapter
from authorkit.model.specification import Suspect
from authorkit.model.wiring import applies

# How much more often one kind of fault happens than another, for ranking only: the author's word for it, and what
# counts where no word is given. The ratios are a judgement (common practice): often is some ten times seldom.
CHANCES: Mapping[str, float] = {"often": 10.0, "sometimes": 3.0, "seldom": 1.0, "": 0.3}


def faults_named(text: str, faults: Iterable[Fault], blame: Mapping[str, frozenset[str]]) -> tuple[Fault, ...]:
    """The faults that a sentence means; `blame` gives the right names of each fault by its id.

    A part whose inside is told by other devices than the sentence expects ('short to ground M7') stands for every fault
    of it. Nothing fits: no faults.
    """
    listed = tuple(faults)
    found = SUSPECT.fullmatch(text.strip())
    if found is None:
        return tuple(fault for fault in listed if plain_name(text) in blame[fault.id])
    thing, point = plain_name(found["thing"]), found["point"]
    name = f"{thing} at {point}" if point else thing
    inside = (fault for fault in listed if fault.kind == "device" and name in blame[fault.id])
    return meant(text, listed) or tuple(inside)


def faults_told(
    chapter: Chapter, series: str, faults: Iterable[Fault], blame: Mapping[str, frozenset[str]]
) -> set[str]:
    """The ids of the faults that the page itself speaks of, for set conditions that are told in words.

    Those that a suspect names, and faults of the same kinds at everything else that a suspect or a verdict names.
    """
    listed = tuple(faults)
    suspects = [suspect for suspect in chapter.suspects if applies(suspect.series, series)]
    whats = [found for suspect in suspects if (found := SUSPECT.fullmatch(suspect.fault.strip()))]
    names = {plain_name(name) for step in chapter.steps for name in step.verdict} | {
        plain_name(found["thing"]) for found in whats
    }
    kinds = {suspicion_of(found) for found in whats}
    told = {fault.id for suspect in suspects for fault in faults_named(suspect.fault, listed, blame)}
    alike = (fault for fault in listed if any(is_suspicion(fault, what) for what in kinds))
    return told | {fault.id for fault in alike if names & blame[fault.id]}


def weights_of(
    faults: Iterable[Fault], suspects: Iterable[Suspect], series: str, blame: Mapping[str, frozenset[str]]
) -> dict[str, float]:
    """How much weight each fault gets, by its id: the chance of a suspect is shared by the faults it means."""
    listed = tuple(faults)
    weights = dict.fromkeys((fault.id for fault in listed), CHANCES[""])
    for suspect in suspects:
        named = faults_named(suspect.fault, listed, blame) if applies(suspect.series, series) else ()
        for fault in named:
            weights[fault.id] = max(weights[fault.id], CHANCES[suspect.chance] / len(named))
    return weights
