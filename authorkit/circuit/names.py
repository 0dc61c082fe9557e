"""Every name of the book, and what a reference to it means: `{cavity:M1-A.23}` → 'M1-A.23 (ECT SIG)'."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from authorkit.circuit.harness import Harness
from authorkit.model.book import Book
from authorkit.model.chapter import SECTIONS, Chapter
from authorkit.model.point import Point, parse_point
from authorkit.problems.closest import closest
from authorkit.units import Quantity, show


@dataclass(frozen=True)
class Name:
    """What a reference points at: its kind and id, the words printed for it, the chapter it lives in ('' = shared)."""

    kind: str
    id: str
    label: str
    chapter: str = ""


@dataclass(frozen=True)
class Names:
    """Finds names. `find` returns None for a dangling reference; `near` proposes the closest existing one."""

    book: Book
    harness: Harness

    @cached_property
    def chapters(self) -> Mapping[str, Chapter]:
        """The first chapter of each code, by the code as text with and without its failure type."""
        found: dict[str, Chapter] = {}
        for chapter in self.book.chapters:
            found.setdefault(str(chapter.code), chapter)
            found.setdefault(chapter.code.text, chapter)
        return found

    @cached_property
    def listed(self) -> Mapping[str, str]:
        """The titles of the vehicle's code list by code."""
        return {str(listed.code): listed.title for listed in reversed(self.book.vehicle.codes)}

    @cached_property
    def circuits(self) -> frozenset[str]:
        """Every circuit name of the book."""
        return frozenset(wire.circuit for wires in self.harness.wires.values() for wire in wires)

    def find(self, kind: str, target: str, chapter: Chapter | None) -> Name | None:
        """What `{kind:target}` means on the page of `chapter` (None: a page without facts)."""
        finder = _FINDERS.get(kind)
        return finder(self, target, chapter) if finder else None

    def near(self, kind: str, target: str, chapter: Chapter | None) -> str | None:
        """The existing name of that kind closest to what was typed, or None."""
        return closest(target, self.known(kind, chapter), cutoff=0.5)

    def known(self, kind: str, chapter: Chapter | None) -> list[str]:
        """Every target that a reference of this kind may name on the page of `chapter`, sorted."""
        lister = _LISTERS.get(kind)
        return sorted(set(lister(self, chapter))) if lister else []

    def listed_code(self, text: str) -> str | None:
        """The title of a code as its chapter or the code list gives it, or None."""
        chapter = self.chapters.get(text)
        return chapter.title if chapter else self.listed.get(text)


def _code(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    found = names.chapters.get(target)
    if found:
        return Name("code", str(found.code), str(found.code), str(found.code))
    return Name("code", target, target) if names.listed_code(target) is not None else None


def _part(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    part = names.harness.part(target)
    return Name("part", target, f"{target} {part.name}".strip()) if part else None


def _connector(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    return Name("connector", target, target) if target in names.harness.connectors else None


def _cavity(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    point = parse_point(target)
    if not point.is_cavity or not names.harness.is_known(point):
        return None
    signal = signal_at(names.harness, point, chapter)
    return Name("cavity", target, f"{target} ({signal})" if signal else target)


def signal_at(harness: Harness, point: Point, chapter: Chapter | None) -> str:
    """The signal name at a cavity, as the chapter itself says it first, else as anybody says it."""
    uses = harness.uses.get(point, ())
    own = [use for use in uses if chapter is not None and use.place.file == chapter.file]
    return next((use.signal for use in (*own, *uses) if use.signal), "")


def _ground(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    ground = next(iter(names.harness.grounds.get(target, ())), None)
    if ground is None:
        return None
    return Name("ground", target, f"{target} ({ground.location})" if ground.location else target)


def _splice(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    return Name("splice", target, target) if target in names.harness.splices else None


def _fuse(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    fuse = next(iter(names.harness.fuses.get(target, ())), None)
    if fuse is None:
        return None
    rating = fuse.values.get("rating")
    return Name("fuse", target, f"{target} ({show(rating)})" if isinstance(rating, Quantity) else target)


def _circuit(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    return Name("circuit", target, target) if target in names.circuits else None


def _figure(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    if chapter is None or all(each.id != target for each in chapter.pictures):
        return None
    return Name("figure", target, "figure", str(chapter.code))


def _step(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    step = chapter.step(target) if chapter else None
    if chapter is None or step is None:
        return None
    return Name("step", step.number, f"step {step.number}", str(chapter.code))


def _term(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    term = next((term for term in names.book.vehicle.terms if term.word == target), None)
    return Name("term", target, target) if term else None


def _tool(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    tool = next((tool for tool in names.book.vehicle.tools if tool.id == target), None)
    return Name("tool", target, tool.name) if tool else None


def _reading(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    specs = chapter.specs if chapter else ()
    spec = next((spec for spec in specs if spec.name == target), None)
    return Name("reading", target, show(spec.reads), str(chapter.code)) if spec and chapter else None


def _section(names: Names, target: str, chapter: Chapter | None) -> Name | None:
    if chapter is None or target not in SECTIONS:
        return None
    return Name("section", target, SECTIONS[target], str(chapter.code))


_FINDERS: Mapping[str, Callable[[Names, str, Chapter | None], Name | None]] = {
    "code": _code,
    "part": _part,
    "connector": _connector,
    "cavity": _cavity,
    "ground": _ground,
    "splice": _splice,
    "fuse": _fuse,
    "circuit": _circuit,
    "figure": _figure,
    "step": _step,
    "term": _term,
    "tool": _tool,
    "reading": _reading,
    "section": _section,
}

_LISTERS: Mapping[str, Callable[[Names, Chapter | None], Iterable[str]]] = {
    "code": lambda names, chapter: [
        *(str(chapter.code) for chapter in names.book.chapters),
        *(str(listed.code) for listed in names.book.vehicle.codes),
    ],
    "part": lambda names, chapter: names.harness.parts,
    "connector": lambda names, chapter: names.harness.connectors,
    "cavity": lambda names, chapter: [str(point) for point in names.harness.uses],
    "ground": lambda names, chapter: names.harness.grounds,
    "splice": lambda names, chapter: names.harness.splices,
    "fuse": lambda names, chapter: names.harness.fuses,
    "circuit": lambda names, chapter: names.circuits,
    "figure": lambda names, chapter: [each.id for each in chapter.pictures] if chapter else [],
    "step": lambda names, chapter: [step.number for step in chapter.steps] if chapter else [],
    "term": lambda names, chapter: [term.word for term in names.book.vehicle.terms],
    "tool": lambda names, chapter: [tool.id for tool in names.book.vehicle.tools],
    "reading": lambda names, chapter: [spec.name for spec in chapter.specs if spec.name] if chapter else [],
    "section": lambda names, chapter: SECTIONS,
}
