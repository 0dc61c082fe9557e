"""What all chapters share: the vehicle, its series, systems, tools, terms and code list."""

from __future__ import annotations

from dataclasses import dataclass, field

from authorkit.model.chapter import Acceptance
from authorkit.model.procedure import SharedProcedure
from authorkit.model.trouble_code import TroubleCode
from authorkit.model.wiring import Series, Wiring
from authorkit.problems import Place
from authorkit.units import Quantity


@dataclass(frozen=True)
class SeriesInfo:
    """One vehicle generation."""

    id: str
    name: str
    place: Place
    note: str = ""


@dataclass(frozen=True)
class Tool:
    """A special tool or meter. `category` is its IEC 61010 rating as printed on it ('CAT III 1000 V'), or ''."""

    id: str
    name: str
    place: Place
    category: str = ""
    note: str = ""


@dataclass(frozen=True)
class Term:
    """A word or abbreviation of the glossary. `avoid` lists other words for the same thing that pages must not use."""

    word: str
    meaning: str
    place: Place
    avoid: tuple[str, ...] = ()


@dataclass(frozen=True)
class ListedCode:
    """A code of the vehicle's code list, with or without a chapter."""

    code: TroubleCode
    title: str
    set_by: str
    place: Place
    series: Series = ()


@dataclass(frozen=True)
class HighVoltage:
    """What the high-voltage caution needs to know of this vehicle.

    `waiting_source` names where the waiting time comes from; the toolkit never invents one. `tool` is the id of the
    meter that is good enough, `gloves` the glove class by ASTM D120 / IEC 60903 ('0').
    """

    disconnect: str
    waiting: Quantity
    waiting_source: str
    tool: str
    gloves: str
    place: Place
    series: Series = ()


@dataclass(frozen=True)
class Vehicle:
    """The vehicle notebook. `invented` is the sentence that says so, printed on the title page.

    `system_modules` are the modules that the author gives to a system, by its name.
    """

    name: str
    description: str
    invented: str
    file: str
    place: Place
    series: tuple[SeriesInfo, ...] = ()
    systems: tuple[str, ...] = ()
    wiring: Wiring = Wiring()
    tools: tuple[Tool, ...] = ()
    terms: tuple[Term, ...] = ()
    codes: tuple[ListedCode, ...] = ()
    high_voltage: tuple[HighVoltage, ...] = ()
    procedures: tuple[SharedProcedure, ...] = ()
    battery: Quantity | None = None
    colours: dict[str, str] = field(default_factory=dict)
    system_modules: dict[str, tuple[str, ...]] = field(default_factory=dict)
    accept: tuple[Acceptance, ...] = ()
    places: dict[str, Place] = field(default_factory=dict, compare=False)

    @property
    def series_ids(self) -> tuple[str, ...]:
        """The ids of all series, in the author's order."""
        return tuple(series.id for series in self.series)
