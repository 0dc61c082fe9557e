"""The units an author may write, with every accepted spelling.

The list is closed and case-sensitive on purpose: 'ms' is a time, 'MS' is nothing a trainer writes.

Base units: V, A, Ω, Hz, s, m, m², m³, kg, N, Pa, N·m, W, J, C (charge), F, H, m/s, rad (angle),
revolutions per second (rotation, ISO 80000-3), bit/s, kg/s, m³/s, Ω/V, Ω/m, 1 (ratio, so 5 % is 0.05).
Temperatures stay in °C; a temperature difference, and a material constant such as a thermistor's beta,
is in K.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import product

from authorkit.units.rows import FAMILIES, PREFIXES, SINGLES, Family, Single


@dataclass(frozen=True)
class Unit:
    """One row of the table: base = value × factor + offset, in the base unit of the dimension.

    spellings are the accepted texts besides the symbol; where the symbol is not ASCII, the first one is.
    """

    symbol: str
    dimension: str
    factor: Decimal
    spellings: tuple[str, ...]
    name: str
    offset: Decimal = Decimal(0)

    @property
    def plain(self) -> str:
        """The symbol in ASCII: 'kohm' for kΩ, 'degC' for °C."""
        return self.symbol if self.symbol.isascii() else self.spellings[0]


DIMENSIONS: dict[str, str] = {
    "voltage": "4.5 V",
    "current": "120 mA",
    "resistance": "2.2 kΩ",
    "isolation": "500 Ω/V",
    "resistance per length": "37.1 mΩ/m",
    "power": "55 W",
    "energy": "1.3 kW·h",
    "charge": "60 A·h",
    "capacitance": "470 nF",
    "inductance": "12 mH",
    "frequency": "128 Hz",
    "data rate": "500 kbit/s",
    "time": "20 ms",
    "ratio": "80 %",
    "temperature": "20 °C",
    "temperature difference": "3400 K",
    "pressure": "250 kPa",
    "torque": "9 N·m",
    "force": "60 N",
    "mass": "550 g",
    "length": "1.8 m",
    "area": "0.5 mm²",
    "volume": "6.5 L",
    "mass flow": "15 kg/h",
    "volume flow": "12 L/min",
    "speed": "30 km/h",
    "rotation": "750 rpm",
    "angle": "90°",
}
"""Every dimension, with a text an author could have typed for it."""

_TYPED_FORMS = {
    "Ω": ("ohm",),
    "µ": ("u",),
    "°": ("deg",),
    "²": ("2", "^2"),
    "³": ("3", "^3"),
    "·": ("", ".", "*", "-", " "),
}


def _keyboard_forms(symbol: str) -> tuple[str, ...]:
    """Spell a symbol with the keys of a plain keyboard: 'N·m' gives 'Nm', 'N.m', 'N*m', 'N-m', 'N m'."""
    return tuple("".join(each) for each in product(*(_TYPED_FORMS.get(letter, (letter,)) for letter in symbol)))


def _full_names(prefix: str, name: str) -> tuple[str, ...]:
    """Spell a unit out: 'kilovolt', 'kilovolts'; 'kilohm' beside 'kiloohm'; 'litre' beside 'liter'."""
    if " per " in name:
        return (prefix + name,)
    elided = (prefix[:-1] + name,) if name == "ohm" and prefix[-1:] in ("o", "a") else ()
    names = (*elided, prefix + name, (prefix + name).replace("metre", "meter").replace("litre", "liter"))
    return names + tuple(f"{each}s" for each in names if not each.endswith(("z", "y")))


def _distinct(symbol: str, spellings: tuple[str, ...]) -> tuple[str, ...]:
    """Drop repeats and the symbol itself, keeping the order."""
    return tuple(each for each in dict.fromkeys(spellings) if each != symbol)


def _family_units(family: Family) -> list[Unit]:
    """Expand one family over its prefixes."""
    units = []
    for key in family.prefixes.split():
        prefix = key.strip("-")
        prefix_name, power = PREFIXES[key]
        symbol = prefix + family.symbol
        names = _full_names(prefix_name, family.name)
        stems = (*family.others, family.name) if " " not in family.name else family.others
        typed = tuple(form + stem for form in (*_keyboard_forms(prefix), prefix) for stem in stems)
        spellings = _distinct(symbol, _keyboard_forms(symbol) + typed + names)
        units.append(Unit(symbol, family.dimension, family.factor.scaleb(power), spellings, names[0]))
    return units


def _single_unit(row: Single) -> Unit:
    """Make a unit that takes no prefix."""
    typed = tuple(form for other in row.others for form in (other, *_keyboard_forms(other)))
    spellings = _distinct(row.symbol, typed + _keyboard_forms(row.symbol) + (row.name,))
    return Unit(row.symbol, row.dimension, row.factor, spellings, row.name, row.offset)


def _table() -> tuple[Unit, ...]:
    """Build all rows, in the order of DIMENSIONS."""
    units = [unit for family in FAMILIES for unit in _family_units(family)]
    units += [_single_unit(row) for row in SINGLES]
    order = list(DIMENSIONS)
    return tuple(sorted(units, key=lambda unit: order.index(unit.dimension)))


UNITS: tuple[Unit, ...] = _table()
"""Every unit, one row each, grouped by dimension."""

BY_SYMBOL: dict[str, Unit] = {unit.symbol: unit for unit in UNITS}
BY_SPELLING: dict[str, Unit] = BY_SYMBOL | {spelling: unit for unit in UNITS for spelling in unit.spellings}
