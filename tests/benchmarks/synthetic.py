"""A manual of any number of chapters, made from a seed: the same number and seed give the same files.

A block is the demo manual with a chapter more of each kind of circuit. Each further block is the same again with other
names, wires, lengths, captures and sentences, on the same body (ground points, feeds), so that all blocks are one
harness. Chapters refer to each other across blocks.
"""

from __future__ import annotations

import hashlib
import json
import random
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from authorkit.circuit.harness import build_harness
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.starters.chapter import new_chapter
from authorkit.starters.identity import Wish
from authorkit.starters.notebook import write_new

ROOT = Path(__file__).parents[2]
SEED = 20261125

# A code of the demo's list without a chapter for each kind of circuit.
_MORE = {
    "C1A10": "switch-to-ground",
    "P0504": "switch-to-feed",
    "P0117": "thermistor",
    "P0533": "three-wire-sensor",
    "P2122": "dual-track-pedal",
    "B1A30": "relay-driven-load",
    "P0442": "low-side-pwm",
    "U0111": "two-wire-bus",
    "P0A0D": "interlock-loop",
    "P0501": "hall-speed-sensor",
    "P0A40": "resolver",
    "P0A1B": "motor-phases",
}
# Chapters that name what others of their block speak of: a part of a block begins with them.
_FIRST = ("P0532", "P2138", "P0480", "P0AA1", "P0AA6", "P0A78", "P0A3F", "P0500", "B1A20", "P0443")
_STRIPES = ("WH", "BU", "GN", "YE", "GY", "BN", "VT", "RD", "PK")
# What the body has once, however many blocks there are; the first block's battery feeds all fuse boxes.
_ONCE = ("vehicle", "series", "systems", "grounds", "feeds", "tools", "terms", "accept")
_BATTERY_WIRES = ("A1", "Z1")
_FROM_BATTERY = ("BAT1", "FB1-S")
_SENTENCES = (
    "A vehicle of this type came in with {code:%(code)s} as well, and both had the same cause.",
    "Look at {part:%(part)s} before you move the harness, and write down what you see.",
    "The rubbed place was on circuit {circuit:%(circuit)s}, a hand's breadth from its end.",
    "Water had crept along the wire as far as {part:%(part)s}, although the seal looked good.",
    "If {code:%(code)s} comes back first, begin with that page: its test is shorter.",
    "Note the reading of the last good step, warm and cold, and compare it with the next vehicle.",
    "A loose terminal in this harness also disturbs what {code:%(code)s} describes.",
    "Nothing was found twice here, and both times a night in the cold brought the fault back.",
)


@dataclass(frozen=True)
class _Names:
    """What a block renames: parts, splices, fuses, networks; circuits (`shared`: the vehicle's own); codes in order."""

    parts: tuple[str, ...]
    circuits: tuple[str, ...]
    shared: tuple[str, ...]
    codes: tuple[str, ...]


def make_book(folder: Path, chapters: int, seed: int = SEED) -> None:
    """Write a manual of so many chapters into an empty or missing folder."""
    folder.mkdir(parents=True, exist_ok=True)
    base = folder / "base"
    book = _base_book(base)
    names = _names_of(book)
    codes = sorted((str(chapter.code) for chapter in book.chapters), key=lambda code: (code not in _FIRST, code))
    blocks = max(1, chapters // len(codes))
    wanted = [(block, code, _code(code, block, names)) for block in range(blocks) for code in codes][:chapters]
    # What is left over: second codes of circuits that have one already, as most circuits of a vehicle have.
    seconds = enumerate(wanted[: chapters - len(wanted)])
    wanted += [(block, code, f"{code[0]}1{0xFFF - at:03X}") for at, (block, code, _) in seconds]
    printed = [own for _, _, own in wanted]
    for name in ("chapters", "figures", "build"):
        (folder / name).mkdir(exist_ok=True)
    _write_vehicle(base, folder, names, blocks)
    for block, code, own in wanted:
        chance = random.Random(f"{seed} {own}")
        cells = _cells(base / "chapters" / f"{code}.ipynb")
        texts = [_renamed(_filled(text, maker=own != code), block, names, seed) for _, text in cells]
        texts = [text.replace(_code(code, block, names), own) for text in texts]
        texts[-1] += "\n\n" + " ".join(_sentences(chance, printed, names, block))
        told = [(kind, text) for (kind, _), text in zip(cells, texts, strict=True)]
        _write(folder / "chapters" / f"{own}.ipynb", told)
    _copy_the_rest(base, folder, blocks)
    shutil.rmtree(base)


def _base_book(base: Path) -> Book:
    """The demo manual with a chapter more of each kind of circuit."""
    for name in ("chapters", "figures"):
        shutil.copytree(ROOT / name, base / name)
    (base / "build").mkdir()
    shutil.copy(ROOT / "build" / "manual.yaml", base / "build")
    for code, kind in _MORE.items():
        book, _ = read_book(base)
        assert book is not None
        made = new_chapter(book, Wish(code, kind))
        write_new(base / made.file, made.text)
    book, _ = read_book(base)
    assert book is not None
    return book


def _names_of(book: Book) -> _Names:
    harness = build_harness(book)
    parts = {*harness.parts, *harness.splices, *harness.fuses}
    parts |= {network.id for wiring in book.wirings for network in wiring.networks}
    parts |= {body.id for wiring in book.wirings for body in wiring.connectors if body.in_line}
    parts |= {device.name for wiring in book.wirings for device in wiring.devices}
    named = tuple(sorted(name for name in parts if re.fullmatch(r"[A-Z]+\d+", name) and name != "BAT1"))
    circuits = sorted({wire.circuit for wiring in book.wirings for wire in wiring.wires})
    shared = sorted({wire.circuit for wire in book.vehicle.wiring.wires} - set(_BATTERY_WIRES))
    codes = {str(listed.code) for listed in book.vehicle.codes} | {str(chapter.code) for chapter in book.chapters}
    return _Names(named, tuple(circuits), tuple(shared), tuple(sorted(codes)))


def _code(code: str, block: int, names: _Names) -> str:
    """The code of a further block: one of the maker's own range."""
    if block == 0:
        return code
    return f"{code[0]}1{block * len(names.codes) + names.codes.index(code):03X}"


def _renamed(text: str, block: int, names: _Names, seed: int) -> str:
    """A text as it stands in a block: its codes, names, captures, and its wires with other stripes and lengths."""
    if block == 0:
        return text
    known = {code: _code(code, block, names) for code in names.codes}
    known |= {name: _name(name, block) for name in (*names.parts, *names.circuits)}
    pattern = "|".join(map(re.escape, sorted(known, key=len, reverse=True)))
    text = re.sub(rf"(?<!\w)(?:{pattern})(?!\w)", lambda match: known[match.group()], text)
    text = re.sub(r"\b([\w-]+)\.csv\b", rf"\1-{block}.csv", text)
    wire = rf"\b({'|'.join(_name(name, block) for name in names.circuits)}) ([A-Z]{{2}})(/[A-Z]{{2}})?( [\d.]+ mm[2²])"
    return re.sub(wire + r"( [\d.]+ m\b)?", lambda match: _other_wire(match, seed), text)


def _name(name: str, block: int) -> str:
    letters = name.rstrip("0123456789")
    return f"{letters}{block}{name.removeprefix(letters):0>3}"


def _other_wire(match: re.Match[str], seed: int) -> str:
    """Another stripe, and a length that is longer by up to half: the same wherever this circuit is said again."""
    circuit, colour, stripe, size, length = match.groups()
    lot = int.from_bytes(hashlib.sha256(f"{seed} {circuit}".encode()).digest()[:4], "big")
    if stripe:
        others = [name for name in _STRIPES if name != colour]
        stripe = f"/{others[lot % len(others)]}"
    if length:
        length = f" {float(length.split()[0]) * (1 + lot % 50 / 100):.2g} m"
    return f"{circuit} {colour}{stripe or ''}{size}{length or ''}"


def _filled(text: str, *, maker: bool) -> str:
    """A starting point with its notes to the author turned into text, and who gives a code of the maker's its title."""
    text = re.sub(r"\bTODO:? ?", "Invented ", text)
    if maker and text.startswith("%%facts") and "meaning-source" not in text:
        text = re.sub(r"(?m)^(set-by: .*)$", r"\1\nmeaning-source: Vehicle maker (invented)", text, count=1)
    return text


def _sentences(chance: random.Random, codes: list[str], names: _Names, block: int) -> Iterator[str]:
    def local(name: str) -> str:
        return name if block == 0 else _name(name, block)

    parts = [name for name in names.parts if re.fullmatch(r"M\d", name)]
    for sentence in chance.sample(_SENTENCES, chance.randint(3, 6)):
        circuit = local(chance.choice(names.shared))
        yield sentence % {"code": chance.choice(codes), "part": local(chance.choice(parts)), "circuit": circuit}


def _write_vehicle(base: Path, folder: Path, names: _Names, blocks: int) -> None:
    """One vehicle notebook with the modules, parts, wires and codes of all blocks; a cell for each key."""
    cells = _cells(base / "chapters" / "vehicle.ipynb")
    facts: dict[str, Any] = {}
    for kind, text in cells:
        if kind == "code":
            facts |= yaml.load(text.removeprefix("%%facts"), yaml.BaseLoader)
    whole = dict(facts)
    for block in range(1, blocks):
        for key, value in facts.items():
            if key not in _ONCE:
                whole[key] = _joined(whole[key], _deep(_without_battery(value), block, names))
    written = [
        ("code", "%%facts\n" + yaml.dump({key: value}, allow_unicode=True, width=10**6, sort_keys=False).rstrip())
        for key, value in whole.items()
    ]
    _write(folder / "chapters" / "vehicle.ipynb", [cells[0], *written])


def _without_battery(value: Any) -> Any:
    """The facts of a block without what the first block has for all: the battery, and the stud it feeds."""
    if isinstance(value, dict):
        return {name: _without_battery(each) for name, each in value.items() if not name.startswith(_FROM_BATTERY)}
    if isinstance(value, list) and any(str(each).split()[0] in _BATTERY_WIRES for each in value):
        return []
    if isinstance(value, list):
        return [kept for each in value if (kept := _without_battery(each)) != []]
    return value


def _joined(first: Any, second: Any) -> Any:
    return {**first, **second} if isinstance(first, dict) else [*first, *second]


def _deep(value: Any, block: int, names: _Names) -> Any:
    if isinstance(value, dict):
        return {_renamed(key, block, names, SEED): _deep(each, block, names) for key, each in value.items()}
    if isinstance(value, list):
        return [_deep(each, block, names) for each in value]
    return _renamed(value, block, names, SEED)


def _copy_the_rest(base: Path, folder: Path, blocks: int) -> None:
    """Front pages, the recipe for one page size in the order of codes, and a capture of its own for each block."""
    for path in sorted((base / "chapters").glob("front-*.ipynb")):
        shutil.copy(path, folder / "chapters")
    recipe = yaml.safe_load((base / "build" / "manual.yaml").read_text(encoding="utf-8"))
    kept = {key: str(value) if key == "date" else value for key, value in recipe.items()}
    kept = {key: value for key, value in kept.items() if key not in ("chapters", "classes")} | {"page-sizes": ["a4"]}
    (folder / "build" / "manual.yaml").write_text(yaml.dump(kept, allow_unicode=True, sort_keys=False), "utf-8")
    used = "".join(path.read_text(encoding="utf-8") for path in (folder / "chapters").glob("*.ipynb"))
    for path in sorted((base / "figures").glob("*.csv")):
        head, *rows = path.read_text(encoding="utf-8").splitlines()
        for block in range(blocks):
            moved = rows[block % 7 : len(rows) - block // 7]  # the same signal, begun and ended elsewhere
            name = path.name if block == 0 else f"{path.stem}-{block}.csv"
            if name in used:
                (folder / "figures" / name).write_text("\n".join((head, *moved)) + "\n", encoding="utf-8")


def _cells(path: Path) -> list[tuple[str, str]]:
    """Kind and text of each cell of a notebook."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    return [(cell["cell_type"], "".join(cell["source"])) for cell in notebook["cells"]]


def _write(path: Path, cells: list[tuple[str, str]]) -> None:
    """A notebook as JupyterLab saves it."""
    told = []
    for number, (kind, text) in enumerate(cells):
        cell = {"cell_type": kind, "id": f"c{number}", "metadata": {}, "source": text.splitlines(keepends=True)}
        told.append(cell | ({"execution_count": None, "outputs": []} if kind == "code" else {}))
    kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
    notebook = {"cells": told, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
