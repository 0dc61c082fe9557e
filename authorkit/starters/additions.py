"""What a new chapter adds to the harness, gathered part by part and then written as YAML."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from authorkit.model.point import Point
from authorkit.starters.template import flow, scalar


@dataclass
class Additions:
    """The growing facts of a circuit. Texts are YAML as it will stand in the notebook, without indentation.

    `uses` holds part → connector → cavity → signal name; `about` and `inside` hold lines by part.
    """

    uses: dict[str, dict[str, dict[str, str]]] = field(default_factory=dict)
    about: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    inside: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    bodies: dict[str, str] = field(default_factory=dict)
    wires: list[str] = field(default_factory=list)
    splices: dict[str, str] = field(default_factory=dict)
    grounds: dict[str, str] = field(default_factory=dict)
    pairs: list[tuple[str, str]] = field(default_factory=list)

    def use(self, part: str, point: Point, signal: str) -> None:
        """Give a cavity of a part its signal name."""
        self.uses.setdefault(part, {}).setdefault(point.owner, {})[point.cavity] = signal

    def connectors_text(self, part: str) -> str:
        """The used cavities of a part on one line: `{M1-A: {"23": B5 SIG}}`."""
        plugs = (f"{plug}: {flow(_in_order(uses))}" for plug, uses in self.uses.get(part, {}).items())
        return "{" + ", ".join(plugs) + "}"

    def parts_block(self, without: Collection[str]) -> str:
        """Every part that something is added to, except those that the template writes itself."""
        names = dict.fromkeys((*self.about, *self.uses, *self.inside))
        return "\n".join(line for name in names if name not in without for line in self._part(name))

    def inside_block(self, part: str) -> str:
        """Further devices of a part that the template writes itself."""
        return "\n".join(f"- {device}" for device in self.inside.get(part, ()))

    def bodies_block(self) -> str:
        """Connector bodies that the book lacks."""
        return _lines(self.bodies)

    def section(self, key: str, block: str) -> str:
        """A key of the circuit with its block; nothing if the block is empty."""
        return "\n".join((f"{key}:", *(f"  {line}" for line in block.splitlines()))) if block else ""

    def splices_section(self) -> str:
        """The splices that this chapter names."""
        return self.section("splices", _lines({name: scalar(where) for name, where in self.splices.items()}))

    def grounds_section(self) -> str:
        """The ground points that this chapter is the first to name."""
        return self.section("grounds", _lines(self.grounds))

    def pairs_line(self) -> str:
        """The twisted pairs on one line."""
        return f"pairs: [{', '.join(f'[{first}, {second}]' for first, second in self.pairs)}]" if self.pairs else ""

    def wires_block(self) -> str:
        """The wires that the template does not write itself."""
        return "\n".join(f"- {wire}" for wire in self.wires)

    def _part(self, name: str) -> Iterable[str]:
        yield f"{name}:"
        yield from (f"  {line}" for line in self.about.get(name, ()))
        if name in self.uses:
            yield f"  connectors: {self.connectors_text(name)}"
        if self.inside.get(name):
            yield "  inside:"
            yield from (f"    - {device}" for device in self.inside[name])


def _in_order(uses: dict[str, str]) -> dict[str, str]:
    """Cavities as one counts them: 2 before 10, numbers before names."""
    return dict(sorted(uses.items(), key=lambda use: (not use[0].isdecimal(), len(use[0]), use[0])))


def _lines(items: dict[str, str]) -> str:
    return "\n".join(f"{name}: {text}" for name, text in items.items())
