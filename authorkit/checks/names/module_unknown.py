"""The module that stores a code, or belongs to a system, is no module of the vehicle."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.problems import Place, Problem

RULE = "module-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each `set-by`, of a chapter or of the code list, and each module of a system, that is none."""
    modules = module_names(subject)
    for chapter in subject.book.chapters:
        if chapter.set_by and chapter.set_by not in modules:
            place = chapter.place_of("set-by")
            yield _problem(f"The code {chapter.code} is set by", chapter.set_by, place, subject)
    for listed_code in subject.book.vehicle.codes:
        if listed_code.set_by and listed_code.set_by not in modules:
            what = f"The listed code {listed_code.code} is set by"
            yield _problem(what, listed_code.set_by, listed_code.place, subject)
    yield from _systems(modules, subject)


def _systems(modules: list[str], subject: Subject) -> Iterator[Problem]:
    vehicle = subject.book.vehicle
    for system, names in vehicle.system_modules.items():
        for number, name in enumerate(names, start=1):
            if name not in modules:
                path = f"systems.{system}.modules"
                place = vehicle.places.get(f"{path}.{number}") or vehicle.places.get(path, vehicle.place)
                yield _problem(f"The system '{system}' has the module", name, place, subject)


def module_names(subject: Subject) -> list[str]:
    """The ids of all modules, in the order of the book."""
    return [name for name, part in subject.harness.whole_parts.items() if part.kind == "module"]


def no_module(name: str, subject: Subject) -> str:
    """What is wrong with a name that should be a module's: 'which is no part of the vehicle'."""
    part = subject.harness.part(name)
    if part is None:
        return "which is no part of the vehicle"
    return f"which is a {part.kind}, not a module" if part.kind else "which is not said to be a module"


def _problem(what: str, name: str, place: Place, subject: Subject) -> Problem:
    modules = module_names(subject)
    return Problem(
        RULE,
        f"{what} '{name}', {no_module(name, subject)}.",
        place,
        found=name,
        expected=listed(modules),
        suggestion=nearest(name, modules, f"Add '{name}' to the modules of the vehicle notebook."),
    )
