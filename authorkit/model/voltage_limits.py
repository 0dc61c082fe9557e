"""High-voltage numbers: class limits, isolation, gloves and meter ratings.

They serve to check a page, never to write one: the vehicle maker's current procedure, its waiting time and
its choice of gloves come first. Each limit carries its source; the paid standards themselves were not read.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

VoltageKind = Literal["dc", "ac"]
BusKind = Literal["dc", "ac", "joined", "joined-protected"]
MeterCategory = Literal["II", "III", "IV"]


@dataclass(frozen=True)
class Limit:
    """One limit with its unit, the source it is taken from, and how well that source was seen."""

    value: float
    unit: str
    source: str


_CLASS_B = "ISO 6469-4, US FMVSS 305 scope (excerpts)"
CLASS_B_DC = Limit(60.0, "V d.c.", _CLASS_B)
CLASS_B_AC = Limit(30.0, "V a.c. rms", _CLASS_B)
CLASS_B_DC_UPPER = Limit(1500.0, "V d.c.", "ISO 6469-3 (from memory)")
CLASS_B_AC_UPPER = Limit(1000.0, "V a.c. rms", "ISO 6469-3 (from memory)")
ISOLATION_DC = Limit(100.0, "ohm/V", "UN R100, ISO 6469-4 (excerpts)")
ISOLATION_AC = Limit(500.0, "ohm/V", "UN R100, ISO 6469-4 (excerpts)")
BOND = Limit(0.1, "ohm", "UN R100 (excerpt): exposed parts to chassis, measured with 0.2 A or more")
STORED_ENERGY = Limit(0.2, "J", "US FMVSS 305, UN R100 (excerpts): after a crash")


def is_class_b(volts_dc: float | None, volts_ac: float | None) -> bool:
    """True above 60 V d.c. (either polarity) or 30 V a.c. rms; exactly at the limit is still class A.

    None stands for a kind that is not there. With both None, or a value that is no number, nothing can be
    said and ValueError is raised: silence must not read as safe.
    """
    if volts_dc is None and volts_ac is None:
        raise ValueError("no voltage given: expected volts d.c., volts a.c. rms, or both")
    for volts in (volts_dc, volts_ac):
        if volts is not None and not math.isfinite(volts):
            raise ValueError(f"{volts} is not a voltage: expected a finite number of volts")
    return abs(volts_dc or 0.0) > CLASS_B_DC.value or abs(volts_ac or 0.0) > CLASS_B_AC.value


def required_isolation(volts: float, kind: BusKind) -> float:
    """Least isolation resistance in ohms to chassis for a working voltage (400 V d.c.: 40 kilohm).

    'joined' is an a.c. bus conductively joined to the d.c. bus (500 ohm/V); 'joined-protected' is the same
    with double insulation layers or robust protection on the a.c. side (100 ohm/V allowed). UN R100.
    """
    if not (math.isfinite(volts) and volts >= 0):
        raise ValueError(f"{volts} is not a working voltage: expected zero or more volts")
    per_volt = ISOLATION_DC if kind in ("dc", "joined-protected") else ISOLATION_AC
    return volts * per_volt.value


@dataclass(frozen=True)
class GloveClass:
    """One class of rubber insulating gloves: maximum use and proof test voltages, colour of the label."""

    name: str
    max_ac: float
    max_dc: float
    proof_ac: float
    proof_dc: float
    label: str

    def covers(self, volts: float, kind: VoltageKind) -> bool:
        """True if the class may be used at this voltage (V d.c., or V a.c. rms)."""
        return volts <= (self.max_dc if kind == "dc" else self.max_ac)


# ASTM D120, EN/IEC 60903, 29 CFR 1910.137. Seen in public: all a.c. maxima, labels and d.c. proof voltages,
# the d.c. maxima of 00 and 0, the a.c. proof voltage of 00. From memory: the other d.c. maxima (1.5 times
# a.c.) and a.c. proof voltages.
_GLOVES = (
    GloveClass("00", 500, 750, 2_500, 10_000, "beige"),
    GloveClass("0", 1_000, 1_500, 5_000, 20_000, "red"),
    GloveClass("1", 7_500, 11_250, 10_000, 40_000, "white"),
    GloveClass("2", 17_000, 25_500, 20_000, 50_000, "yellow"),
    GloveClass("3", 26_500, 39_750, 30_000, 60_000, "green"),
    GloveClass("4", 36_000, 54_000, 40_000, 70_000, "orange"),
)
GLOVE_CLASSES: Mapping[str, GloveClass] = MappingProxyType({glove.name: glove for glove in _GLOVES})
"""Glove classes by name, lowest first."""

METER_CATEGORIES: tuple[MeterCategory, ...] = ("II", "III", "IV")
"""Measurement categories of IEC 61010, lowest first. Category I is no longer used (from memory)."""

LEAST_CATEGORY: MeterCategory = "III"
"""Common practice only: the categories speak of mains circuits, and a vehicle battery is none."""

_RATING = re.compile(r"CAT (II|III|IV) ([1-9][0-9]{1,3}) V")
_LOOSE_RATING = re.compile(r"CAT(?:EGORY)?(IV|III|II|[234])([1-9][0-9]{1,3})V?")
_REVERSED_RATING = re.compile(r"([1-9][0-9]{1,3})V?(CAT(?:EGORY)?(?:IV|III|II|[234]))")


class RatingError(ValueError):
    """A meter rating that cannot be read: what was found, what was expected, a suggestion if one is safe."""

    def __init__(self, found: str, expected: str, suggestion: str | None = None) -> None:
        hint = f"; did you mean '{suggestion}'?" if suggestion else ""
        super().__init__(f"'{found}' is not a meter rating: expected {expected}{hint}")
        self.found = found
        self.expected = expected
        self.suggestion = suggestion


@dataclass(frozen=True)
class MeterRating:
    """The rating printed on a meter, a lead or a probe: IEC 61010 category and volts to earth."""

    category: MeterCategory
    volts: float

    def __str__(self) -> str:
        return f"CAT {self.category} {self.volts:g} V"

    def covers(self, volts: float) -> bool:
        """True at category III or higher with at least this working voltage (common practice)."""
        order = METER_CATEGORIES.index
        return order(self.category) >= order(LEAST_CATEGORY) and self.volts >= volts


def parse_meter_rating(text: str) -> MeterRating:
    """Read 'CAT III 1000 V' exactly as written; raise RatingError with a suggestion otherwise."""
    match = _RATING.fullmatch(text)
    if match is None:
        expected = "CAT II, CAT III or CAT IV with its volts, such as CAT III 1000 V"
        raise RatingError(text, expected, _suggestion(text))
    category = next(name for name in METER_CATEGORIES if name == match[1])
    return MeterRating(category, float(match[2]))


def weakest(ratings: Iterable[MeterRating]) -> MeterRating:
    """What meter, leads and accessories together are good for: the lowest of each (IEC 61010-031)."""
    parts = list(ratings)
    if not parts:
        raise ValueError("no rating given: expected the rating of at least one part")
    category = min((part.category for part in parts), key=METER_CATEGORIES.index)
    return MeterRating(category, min(part.volts for part in parts))


def _suggestion(text: str) -> str | None:
    """Mend case, spacing, thousands separators, numerals and order; None if that is not enough."""
    plain = re.sub(r"[\s.,'\-]", "", text.upper())
    reverse = _REVERSED_RATING.fullmatch(plain)
    match = _LOOSE_RATING.fullmatch(f"{reverse[2]}{reverse[1]}" if reverse else plain)
    if match is None:
        return None
    category = {"2": "II", "3": "III", "4": "IV"}.get(match[1], match[1])
    return f"CAT {category} {match[2]} V"
