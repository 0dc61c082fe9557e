"""What a new chapter is about: its code, title, module, system and series, checked against the book."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.model.book import Book
from authorkit.model.generic_titles import GENERIC_TITLES
from authorkit.model.title_words import read_title
from authorkit.model.trouble_code import CodeError, TroubleCode, parse_trouble_code
from authorkit.model.vehicle import ListedCode
from authorkit.model.wiring import Series, applies
from authorkit.problems.closest import closest
from authorkit.starters.error import StarterError
from authorkit.starters.kinds import KINDS, Kind

# Words of which one stands in the name of the system that a kind of circuit belongs to.
_HIGH_VOLTAGE_WORDS = ("hybrid", "high-voltage", "high voltage", "electric drive")
_BUS_WORDS = ("network", "bus", "communication")

# Failure types that say in which direction a signal is wrong (ISO 15031-6, as `model.failure_type` has them).
_LOW_TYPES, _HIGH_TYPES = (0x11, 0x14, 0x16), (0x12, 0x15, 0x17)
_MOST_RELATED = 3


@dataclass(frozen=True)
class Wish:
    """What an author asks for, as typed; None where nothing was said."""

    code: str
    kind: str
    module: str | None = None
    title: str | None = None
    series: Series = ()


@dataclass(frozen=True)
class Identity:
    """A wish that fits the book. `directions` holds 'low' or 'high' where the code says so."""

    code: TroubleCode
    kind: Kind
    title: str
    module: str
    system: str
    series: Series
    directions: frozenset[str]
    is_listed: bool


def identify(book: Book, wish: Wish) -> Identity:
    """Check a wish against the book and fill in what it leaves open. Raises StarterError."""
    code, kind = _code(wish.code), _kind(wish.kind)
    series = _series(book, wish.series)
    _no_other_chapter(book, code, series)
    row = _listed(book, code, series)
    module = _module(book, wish.module, row, kind)
    title = _title(book, code, wish.title, row)
    return Identity(
        code,
        kind,
        title,
        module,
        _system(book, kind, module),
        series or _only_series(book, module),
        _directions(code, title),
        row is not None and row.code == code,
    )


def _code(text: str) -> TroubleCode:
    try:
        code = parse_trouble_code(text)
    except CodeError as error:
        raise StarterError(f"{error}.") from error
    if code.is_padding:
        raise StarterError(f"{code} fills up a message on the bus and is no fault, so it cannot have a chapter.")
    if code.owner == "reserved":
        raise StarterError(f"{code.owner_sentence[:-1]}, so it cannot have a chapter.")
    return code


def _kind(name: str) -> Kind:
    if name in KINDS:
        return KINDS[name]
    near = closest(name, KINDS)
    hint = f" Did you mean '{near}'?" if near else ""
    raise StarterError(f"There is no kind of circuit '{name}'.{hint} There are {', '.join(KINDS)}.")


def _series(book: Book, wanted: Series) -> Series:
    known = book.vehicle.series_ids
    for name in wanted:
        if name not in known:
            raise StarterError(f"There is no series '{name}'; the vehicle has {', '.join(known) or 'none'}.")
    return tuple(name for name in known if name in wanted)


def _no_other_chapter(book: Book, code: TroubleCode, series: Series) -> None:
    for chapter in book.chapters:
        apart = series and chapter.series and not set(series) & set(chapter.series)
        if chapter.code == code and not apart:
            raise StarterError(f"There is a chapter of {code} already: {chapter.file}.")


def _listed(book: Book, code: TroubleCode, series: Series) -> ListedCode | None:
    """The row of the code list for this code, else for the code without its failure type."""
    rows = [row for row in book.vehicle.codes if not series or any(applies(row.series, name) for name in series)]
    exact = (row for row in rows if row.code == code)
    return next(exact, None) or next((row for row in rows if str(row.code) == code.text), None)


def _module(book: Book, wanted: str | None, row: ListedCode | None, kind: Kind) -> str:
    known = [part.id for part in book.vehicle.wiring.parts if part.kind == "module"]
    if not known:
        raise StarterError("The vehicle notebook has no module that could store a code: add one to 'modules'.")
    if wanted is not None and wanted not in known:
        near = closest(wanted, known)
        hint = f" Did you mean '{near}'?" if near else ""
        raise StarterError(f"There is no module '{wanted}'.{hint} The vehicle has {', '.join(known)}.")
    by_list = row.set_by if row is not None and row.set_by in known else None
    if wanted and by_list and wanted != by_list:
        raise StarterError(
            f"By the code list {by_list} stores the code {row.code if row else ''}, not {wanted}: "
            "leave --module out, or correct the list."
        )
    return wanted or by_list or _member(book, kind, known) or known[0]


def _member(book: Book, kind: Kind, known: list[str]) -> str | None:
    """For a bus, the first module of the first one."""
    members = (name for each in book.vehicle.wiring.networks if each.kind == "two-wire bus" for name in each.members)
    return next((name for name in members if name in known), None) if kind.bus else None


def _title(book: Book, code: TroubleCode, wanted: str | None, row: ListedCode | None) -> str:
    """As the code list has it, else as wished, else the standard's; a note of what is to do if nobody knows."""
    if wanted is not None and not wanted.strip():
        raise StarterError("The title is empty.")
    if wanted is not None and not wanted.isprintable():
        raise StarterError(f"The title {wanted!r} holds characters that cannot be printed.")
    if row is not None and row.code == code:
        if wanted and read_title(wanted).clashes_with(read_title(row.title)):
            raise StarterError(
                f"The code list calls {code} '{row.title}', which '{wanted}' contradicts: leave --title out, "
                "or correct the list."
            )
        return wanted.strip() if wanted else row.title
    if wanted:
        return wanted.strip()
    return row.title if row else GENERIC_TITLES.get(code.text, f"TODO title of {code}")


def _system(book: Book, kind: Kind, module: str) -> str:
    """A system whose name fits the kind; else the one of another chapter of this module; else the first."""
    systems = book.vehicle.systems
    if not systems:
        raise StarterError("The vehicle notebook lists no systems, and a chapter belongs to one: add it to 'systems'.")
    words = _BUS_WORDS if kind.bus else _HIGH_VOLTAGE_WORDS if kind.high_voltage else ()
    by_name = (system for system in systems if any(word in system.lower() for word in words))
    by_module = (chapter.system for chapter in book.chapters if chapter.set_by == module and chapter.system in systems)
    return next(by_name, None) or next(by_module, None) or systems[0]


def _only_series(book: Book, module: str) -> Series:
    """The series that have a module, if not all have it."""
    part = next(part for part in book.vehicle.wiring.parts if part.id == module)
    return tuple(name for name in book.vehicle.series_ids if name in part.series)


def _directions(code: TroubleCode, title: str) -> frozenset[str]:
    if code.failure_type in _LOW_TYPES:
        return frozenset({"low"})
    if code.failure_type in _HIGH_TYPES:
        return frozenset({"high"})
    said = frozenset({"low", "high"} & read_title(title).modes)
    return said if len(said) == 1 else frozenset()


def related_codes(book: Book, identity: Identity) -> tuple[str, ...]:
    """The nearest codes of the book, known on all series of the chapter: those that begin alike."""
    wanted = identity.series or book.vehicle.series_ids
    known = {str(chapter.code): chapter.series for chapter in book.chapters}
    known |= {str(row.code): row.series for row in book.vehicle.codes}
    mine = str(identity.code)
    near = [
        code
        for code, series in known.items()
        if code != mine and code[:3] == mine[:3] and all(applies(series, name) for name in wanted)
    ]
    return tuple(sorted(near, key=lambda code: (-_shared(code, mine), code))[:_MOST_RELATED])


def _shared(first: str, second: str) -> int:
    """How many characters two codes have in common at their beginning."""
    pairs = zip(first, second, strict=False)
    return next((number for number, (one, other) in enumerate(pairs) if one != other), min(len(first), len(second)))
