"""Codes that come together: which single faults of shared wiring set several of them, and which explain a set."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from authorkit.circuit.expansion import device_names
from authorkit.circuit.harness import device_points
from authorkit.circuit.study import Study
from authorkit.diagnosis.proof import shows
from authorkit.model.wiring import Wiring

SETS, MAY_SET = "sets", "may set"


@dataclass(frozen=True)
class Effect:
    """What one fault does to one code on one series: `sets` it for certain, or `may set` it.

    `thing` is the plain name of what is at fault, `at` the points of a device: two chapters may each call another
    resistor of a module its pull-up. A condition told in words may be met by any fault that shows.
    """

    fault: str
    at: tuple[str, ...]
    sentence: str
    thing: str
    series: str
    code: str
    sets: str


@dataclass(frozen=True)
class Shared:
    """One fault on one series with every code that it sets for certain, and those that it may set besides."""

    fault: str
    sentence: str
    thing: str
    series: str
    sure: tuple[str, ...]
    maybe: tuple[str, ...]


@dataclass(frozen=True)
class Pattern:
    """Codes that come together, and the single faults that set exactly these for certain."""

    codes: tuple[str, ...]
    faults: tuple[Shared, ...]


@dataclass(frozen=True)
class Explanation:
    """How well one fault explains some codes: which of them it `explains`, `leaves` out, and would set `besides`."""

    fault: Shared
    explains: tuple[str, ...]
    leaves: tuple[str, ...]
    besides: tuple[str, ...]


def effects_of(study: Study, wiring: Wiring) -> tuple[Effect, ...]:
    """What each fault of one chapter's circuit does to its code; faults that do nothing are left out."""
    points = {name: tuple(map(str, device_points(device))) for name, device in device_names(wiring)}
    found = []
    for fault in study.faults:
        sets = {setting.sets for setting in study.settings.get(fault.id, ())}
        in_words = "not computed" in sets and shows(study, fault.id)
        word = SETS if SETS in sets else MAY_SET if MAY_SET in sets or in_words else ""
        if word:
            at = points.get(fault.target, ()) if fault.kind == "device" else ()
            plug = fault.at.partition(".")[0] if fault.target.startswith("contact:") else ""
            thing = f"connector {plug}" if plug else fault.accused
            found.append(Effect(fault.id, at, fault.sentence, thing, study.series, study.code, word))
    return tuple(found)


def shared_faults(effects: Iterable[Effect]) -> tuple[Shared, ...]:
    """Effects put together by fault, place and series: the same wiring has the same fault ids wherever it is seen."""
    by_fault: dict[tuple[str, str, tuple[str, ...]], list[Effect]] = defaultdict(list)
    for effect in effects:
        by_fault[effect.series, effect.fault, effect.at].append(effect)
    found = []
    for (series, fault, _), group in sorted(by_fault.items()):
        sure = tuple(sorted({effect.code for effect in group if effect.sets == SETS}))
        maybe = tuple(sorted({effect.code for effect in group if effect.sets != SETS} - set(sure)))
        found.append(Shared(fault, group[0].sentence, group[0].thing, series, sure, maybe))
    return tuple(found)


def patterns(faults: Iterable[Shared]) -> tuple[Pattern, ...]:
    """The patterns of two or more codes, the largest first, then by code."""
    by_codes: dict[tuple[str, ...], list[Shared]] = defaultdict(list)
    for fault in faults:
        if len(fault.sure) > 1:
            by_codes[fault.sure].append(fault)
    ordered = sorted(by_codes.items(), key=lambda item: (-len(item[0]), item[0]))
    return tuple(Pattern(codes, tuple(group)) for codes, group in ordered)


def companions(found: Iterable[Pattern], code: str) -> tuple[Pattern, ...]:
    """The patterns that a code belongs to."""
    return tuple(pattern for pattern in found if code in pattern.codes)


def explanations(faults: Iterable[Shared], codes: Collection[str]) -> tuple[Explanation, ...]:
    """Single faults that set at least one of these codes, the best first.

    Ranked by how many of the codes they leave out, then by how many others they would set for certain, then by how many
    of the codes they set for certain and not only perhaps.
    """
    given = set(codes)
    found = []
    for fault in faults:
        explains = given & {*fault.sure, *fault.maybe}
        if explains:
            besides = tuple(sorted(set(fault.sure) - given))
            found.append(Explanation(fault, tuple(sorted(explains)), tuple(sorted(given - explains)), besides))
    return tuple(sorted(found, key=lambda each: _rank(each, given)))


def _rank(each: Explanation, given: set[str]) -> tuple[int, int, int, int, str, str]:
    unsure = len(given & set(each.fault.maybe))
    others = len(set(each.fault.maybe) - given)
    return len(each.leaves), len(each.besides), unsure, others, each.fault.series, each.fault.fault
