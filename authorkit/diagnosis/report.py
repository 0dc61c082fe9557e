"""What a proof says, as plain data: which faults end where, and what the procedure cannot tell apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from authorkit.circuit.faults import Fault
from authorkit.diagnosis.blame import plain_name
from authorkit.diagnosis.proof import Proof
from authorkit.diagnosis.walk import RIGHT, Ending, Walk
from authorkit.model.procedure import Step

# What can be wrong, in the words of a table, by the kind of a fault; a device says it by the word of its mode.
_KINDS: Mapping[str, str] = {
    "open": "open",
    "added resistance": "corroded",
    "short to ground": "short to ground",
    "short to battery": "short to battery",
    "short": "bridged",
    "swapped": "swapped",
    "lost": "lost",
}


@dataclass(frozen=True)
class EndRow:
    """Where some faults end: the number of the step, its verdict (empty for an end without one), and the faults.

    `faults` are short words, one for each thing and what can be wrong with it: 'K131: open, short to battery'.
    `count` says how many single faults they stand for, `minutes` the shortest and the longest way there.
    """

    step: str
    verdict: tuple[str, ...]
    faults: tuple[str, ...]
    count: int
    minutes: tuple[float, float]
    wrong: tuple[str, ...]


@dataclass(frozen=True)
class Undivided:
    """A verdict that names several things which the procedure does not tell apart, and whether the author says so."""

    step: str
    names: tuple[str, ...]
    either: bool


@dataclass(frozen=True)
class Tally:
    """How many faults can set the code, and how many of them every way ends at the right verdict for."""

    faults: int
    proven: int
    minutes: float


def tally(proof: Proof) -> Tally:
    """Count a proof."""
    return Tally(len(proof.walks), sum(map(proof.is_proven, proof.walks)), proof.minutes)


def end_rows(proof: Proof) -> tuple[EndRow, ...]:
    """One row for each last step that some fault can end at, in the order of the steps."""
    rows = []
    for number, step in proof.steps.items():
        pairs = proof.ends.get(number, ())
        if pairs:
            spent = [ending.minutes for _, ending in pairs]
            wrong = [fault for fault, ending in pairs if ending.outcome != RIGHT]
            everybody = grouped([fault for fault, _ in pairs], proof)
            rows.append(
                EndRow(number, step.verdict, everybody, len(pairs), (min(spent), max(spent)), grouped(wrong, proof))
            )
    return tuple(rows)


def undivided(proof: Proof) -> tuple[Undivided, ...]:
    """The verdicts that name several things, each once, if some fault ends there."""
    return tuple(
        Undivided(number, step.verdict, step.either)
        for number, step in proof.steps.items()
        if len(step.verdict) > 1 and number in proof.ends
    )


def grouped(faults: Iterable[Fault], proof: Proof) -> tuple[str, ...]:
    """Faults in short words by the thing that is at fault, in the order of the circuit."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for fault in faults:
        thing, what = _words(fault, proof)
        found[thing][what] = None
    return tuple(f"{thing}: {', '.join(whats)}" for thing, whats in found.items())


def _words(fault: Fault, proof: Proof) -> tuple[str, str]:
    """The thing and what is wrong with it."""
    what = fault.at.replace("-", " ") if fault.kind == "device" else _KINDS[fault.kind]
    if fault.target.startswith("contact:") or fault.kind in ("short", "swapped"):
        plug = fault.at.partition(".")[0]
        return (f"connector {plug}" if plug else " and ".join(fault.blames)), what
    return fault.accused, what


def rows_of_walks(proof: Proof) -> list[dict[str, Any]]:
    """For each fault every way through the procedure, ready for JSON: path, verdict, whether it is right, minutes."""
    return [
        {
            "code": str(proof.chapter.code),
            "series": proof.series,
            "fault": walk.fault.id,
            "sentence": walk.fault.sentence,
            "proven": proof.is_proven(walk),
            "endings": [_ending(ending, proof.steps) for ending in walk.endings],
        }
        for walk in proof.walks
    ]


def _ending(ending: Ending, steps: Mapping[str, Step]) -> dict[str, Any]:
    last = steps.get(ending.step)
    return {
        "path": [{"step": step, "answer": answer} for step, answer in ending.path],
        "verdict": list(last.verdict) if last else [],
        "end": last.end if last else "",
        "outcome": ending.outcome,
        "right": ending.outcome == RIGHT,
        "certain": ending.sure,
        "minutes": round(ending.minutes, 2),
    }


def wrong_walks(proof: Proof) -> tuple[Walk, ...]:
    """The faults of which not every way ends at the right verdict."""
    return tuple(walk for walk in proof.walks if not proof.is_proven(walk))


def names_in_words(names: Sequence[str]) -> str:
    """'K131', 'Z141 or Z140', 'V210, B11 or M1'."""
    plain = [plain_name(name) for name in names]
    return plain[0] if len(plain) == 1 else f"{', '.join(plain[:-1])} or {plain[-1]}" if plain else ""
