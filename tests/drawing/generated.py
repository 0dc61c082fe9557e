"""Random circuits from a seed: modules, fuse boxes, relays, components, in-line connectors, splices, grounds."""

from __future__ import annotations

import random

_GROUNDS = {"G1": "Left strut tower", "G2": "Rear crossmember"}
_COLOURS = ("RD", "BU/WH", "GN", "BK", "YE/GN", "VT", "GY/RD", "BN")


def generated(seed: int) -> str:
    """A circuit as YAML; the same for the same seed."""
    return _Maker(random.Random(seed)).text()


class _Maker:
    def __init__(self, dice: random.Random) -> None:
        self.dice = dice
        self.parts: dict[str, list[str]] = {}
        self.heads: dict[str, str] = {}
        self.inside: dict[str, list[str]] = {}
        self.wires: list[str] = []
        self.splices: list[str] = []
        self.lines = [f"X{number}" for number in range(1, dice.randint(0, 2) + 1)]
        self.cavity: dict[str, int] = {}
        self.circuit = 0
        self.pairs: list[str] = []
        self.shields: list[str] = []

    def text(self) -> str:
        for number in range(1, self.dice.randint(1, 2) + 1):
            self._part(f"M{number}", "module", f"Control module {number}")
        self._part("FB1", "fuse box", "Fuse box")
        for number in range(1, self.dice.randint(1, 5) + 1):
            self._component(f"B{number}")
        if self.dice.random() < 0.5:
            self._relay()
        if self.dice.random() < 0.4:
            self._twisted()
        return self._written()

    def _part(self, name: str, kind: str, words: str) -> None:
        self.parts[name], self.inside[name] = [], []
        self.heads[name] = f"name: {words}, kind: {kind}"

    def _pin(self, part: str) -> str:
        self.parts[part].append(str(len(self.parts[part]) + 1))
        return f"{part}.{self.parts[part][-1]}"

    def _wire(self, start: str, end: str) -> str:
        """A wire, perhaps through an in-line connector; gives its circuit name."""
        self.circuit += 1
        name = f"W{self.circuit} {self.dice.choice(_COLOURS)} 0.5 mm2"
        middle = ""
        if self.lines and self.dice.random() < 0.5:
            plug = self.dice.choice(self.lines)
            self.cavity[plug] = self.cavity.get(plug, 0) + 1
            middle = f"{plug}.{self.cavity[plug]}, {name}, "
        self.wires.append(f"[{start}, {name}, {middle}{end}]")
        return f"W{self.circuit}"

    def _module(self) -> str:
        return self.dice.choice([name for name in self.parts if name.startswith("M")])

    def _driven(self, pin: str) -> None:
        module = self._module()
        source = self._pin(module)
        kind = self.dice.choice(["low-side: {}, command: Q", "high-side: {}, command: Q", "half-bridge: {}"])
        self.inside[module].append("{" + kind.format(source) + "}")
        self._wire(source, pin)

    def _sensed(self, pin: str) -> None:
        module = self._module()
        target = self._pin(module)
        self.inside[module].append(f"{{read: {target}, as: V{len(self.parts[module])}}}")
        if self.dice.random() < 0.5:
            self.inside[module].append(f"{{pull-up: {target}, to: 5 V, r: 1 kΩ}}")
        self._wire(target, pin)

    def _fed(self, pin: str) -> None:
        fuse = self._pin("FB1")
        self.inside["FB1"].append(f"{{fuse: [B+, {fuse}], id: F{fuse[4:]}, rating: 10 A}}")
        self._wire(fuse, pin)

    def _grounded(self, pin: str) -> None:
        self._wire(pin, self.dice.choice(list(_GROUNDS)))

    def _component(self, name: str) -> None:
        self._part(name, "component", f"Component {name}")
        kind = self.dice.choice(["thermistor", "motor", "transducer", "lamp", "potentiometer"])
        if kind in ("transducer", "potentiometer"):
            pins = [self._pin(name) for _ in range(3)]
            more = "quantity: p / U" if kind == "transducer" else "r: 4 kΩ"
            self.inside[name].append(f"{{{kind}: [{', '.join(pins)}], {more}}}")
            self._shared(pins[0], "S1")
            self._sensed(pins[1])
            self._shared(pins[2], "S2")
            return
        first, second = self._pin(name), self._pin(name)
        more = {"thermistor": "r25: 2 kΩ, beta: 3500 K", "motor": "r: 1 Ω", "lamp": "volts: 12 V, watts: 5 W"}[kind]
        self.inside[name].append(f"{{{kind}: [{first}, {second}], {more}}}")
        self.dice.choice([self._driven, self._fed, self._sensed])(first)
        self.dice.choice([self._grounded, self._grounded, self._driven])(second)

    def _shared(self, pin: str, splice: str) -> None:
        """Join a pin to a splice; the splice's first wire leads to a module."""
        if splice not in self.splices:
            self.splices.append(splice)
            self._sensed(splice)
        self._wire(splice, pin)

    def _twisted(self) -> None:
        """An inductive sensor at a twisted pair, perhaps in a shield, perhaps with a drain wire."""
        module = self._module()
        self._part("B9", "component", "Speed sensor")
        high, low = self._pin(module), self._pin(module)
        self.inside[module].append(f"{{differential-input: [{high}, {low}], as: N}}")
        first, second = self._pin("B9"), self._pin("B9")
        self.inside["B9"].append(f"{{winding: [{first}, {second}], r: 900 Ω}}")
        circuits = [self._wire(high, first), self._wire(low, second)]
        self.pairs.append(f"[{', '.join(circuits)}]")
        if self.dice.random() < 0.6:
            drain = ""
            if self.dice.random() < 0.6:
                ground = self._pin(module)
                self.inside[module].append(f"{{module-ground: {ground}}}")
                drain = f", drain: {self._wire(ground, self._pin('B9'))}"
            self.shields.append(f"{{wires: [{', '.join(circuits)}]{drain}}}")

    def _relay(self) -> None:
        self._part("K1", "relay", "Relay")
        pins = [self._pin("K1") for _ in range(4)]
        self.inside["K1"] += [f"{{coil: [{pins[0]}, {pins[1]}], r: 85 Ω}}", f"{{contact: [{pins[2]}, {pins[3]}]}}"]
        self._fed(pins[0])
        self._driven(pins[1])
        self._fed(pins[2])
        self._part("A1", "component", "Load")
        plus, minus = self._pin("A1"), self._pin("A1")
        self.inside["A1"].append(f"{{motor: [{plus}, {minus}], r: 1 Ω}}")
        self._wire(pins[3], plus)
        self._grounded(minus)

    def _written(self) -> str:
        """Only what the wires use is declared, so that any finding of the drawing is a fault of the drawing."""
        lines = ["parts:"]
        for name, cavities in self.parts.items():
            if cavities:
                plugs = ", ".join(f'"{cavity}": SIG{cavity}' for cavity in cavities)
                inside = ", ".join(self.inside[name])
                lines.append(
                    f"  {name}: {{{self.heads[name]}, connectors: {{{name}: {{{plugs}}}}}, inside: [{inside}]}}"
                )
        text = " ".join(self.wires)
        grounds = [f"{name}: {where}" for name, where in _GROUNDS.items() if f"{name}]" in text]
        lines.append(f"in-line: [{', '.join(self.cavity)}]")
        lines.append(f"splices: [{', '.join(self.splices)}]")
        lines.append(f"grounds: {{{', '.join(grounds)}}}")
        if self.parts["FB1"]:
            lines.append("feeds: {B+: Battery positive}")
        lines.append(f"pairs: [{', '.join(self.pairs)}]")
        lines.append(f"shields: [{', '.join(self.shields)}]")
        lines += ["wires:", *(f"  - {wire}" for wire in self.wires)]
        return "\n".join(lines) + "\n"
