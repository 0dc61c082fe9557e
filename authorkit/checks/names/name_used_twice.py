"""One name stands for two different things, so a reader cannot tell which is meant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Device, Limited
from authorkit.problems import Place, Problem

RULE = "name-used-twice"


@dataclass(frozen=True)
class _Use:
    """One thing that has the name."""

    what: str
    place: Place
    holds: frozenset[str]


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each name that a second kind of thing takes, each fuse number and each name in a chapter."""
    for name, uses in _by_name(subject).items():
        yield from _first_clash(name, uses)
    for number, fuses in subject.harness.fuses.items():
        yield from _fuse_twice(number, fuses, subject)
    for chapter in subject.book.chapters:
        yield from _in_chapter(chapter, subject)


def _by_name(subject: Subject) -> dict[str, list[_Use]]:
    """Everything that stands alone in a fact or a verdict: parts, splices, grounds, feeds, circuits; and connectors."""
    harness = subject.harness
    found: dict[str, list[_Use]] = {}
    kinds = (("part", harness.parts), ("splice", harness.splices), ("ground point", harness.grounds))
    for what, records in (*kinds, ("feed", harness.feeds)):
        for name, said in records.items():
            found.setdefault(name, []).append(_use(f"a {what}", said, subject))
    for name, connectors in harness.connectors.items():
        whole = harness.whole_connectors[name]
        if whole.part != name:
            plugged = f"a connector of {whole.part}" if whole.part else "an in-line connector"
            found.setdefault(name, []).append(_use(plugged, connectors, subject))
    for name, wires in _circuits(subject).items():
        if name in found:
            found[name].append(_use("a circuit", wires, subject))
    return found


def _circuits(subject: Subject) -> dict[str, list[Limited]]:
    circuits: dict[str, list[Limited]] = {}
    for wiring in subject.book.wirings:
        for wire in wiring.wires:
            circuits.setdefault(wire.circuit, []).append(wire)
    return circuits


def _use(what: str, records: tuple[Limited, ...] | list[Limited], subject: Subject) -> _Use:
    return _Use(what, records[0].place, frozenset(name for record in records for name in subject.holds(record)))


def _first_clash(name: str, uses: list[_Use]) -> Iterator[Problem]:
    """Each thing after the first that shares a series with an earlier one."""
    for number, later in enumerate(uses):
        earlier = next((use for use in uses[:number] if use.holds & later.holds), None)
        if earlier is not None:
            yield _problem(name, earlier.what, later.what, (earlier.place, later.place))


def _fuse_twice(number: str, fuses: tuple[Device, ...], subject: Subject) -> Iterator[Problem]:
    for position, later in enumerate(fuses):
        for earlier in fuses[:position]:
            if earlier.terminals != later.terminals and subject.holds(earlier) & subject.holds(later):
                before, after = (f"the fuse at {fuse.terminals[-1]}" for fuse in (earlier, later))
                yield _problem(number, before, after, (earlier.place, later.place))
                return


def _in_chapter(chapter: Chapter, subject: Subject) -> Iterator[Problem]:
    """Readings, waveforms and figures that prose refers to by name."""
    named: dict[tuple[str, str], list[_Use]] = {}
    for spec in chapter.specs:
        if spec.name:
            named.setdefault(("reading", spec.name), []).append(_Use("a reading", spec.place, subject.holds(spec)))
    for wave in chapter.waveforms:
        named.setdefault(("waveform", wave.name), []).append(_Use("a waveform", wave.place, subject.holds(wave)))
    for figure in chapter.pictures:
        named.setdefault(("figure", figure.id), []).append(_Use("a figure", figure.place, subject.holds(figure)))
    for (_, name), uses in named.items():
        yield from _first_clash(name, [uses[0], *(replace(use, what=_another(use.what)) for use in uses[1:])])


def _another(what: str) -> str:
    return what.replace("a ", "another ", 1)


def _problem(name: str, before: str, after: str, places: tuple[Place, Place]) -> Problem:
    return Problem(
        RULE,
        f"'{name}' is {before}, and here {after} has the same name.",
        places[1],
        found=f"'{name}' for {after}",
        expected="a name of its own",
        suggestion="Rename one of the two.",
        also=(places[0],),
    )
