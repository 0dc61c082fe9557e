"""Where a voltmeter, a low-impedance meter and a test lamp would tell different tales of one point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from authorkit.circuit.faults import Fault
from authorkit.circuit.instruments import INSTRUMENTS, last_digit
from authorkit.circuit.measurement import Measurement, Reading
from authorkit.circuit.netlist import CHASSIS
from authorkit.circuit.readings import read_state
from authorkit.circuit.view import circuit_of
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.specification import State
from authorkit.units import format_value

TAKING = ("volts", "low-impedance", "lamp")
"""The instruments that are compared, from the one that takes least."""

_LEAKAGE = 100e3  # Ω, from which on a path is called a leakage: common practice


@dataclass(frozen=True)
class Disagreement:
    """One point against ground where the three instruments differ by more than they can show.

    `readings` are by instrument, `ohms` is what lies in the path to the point, `because` says it as a sentence.
    """

    at: str
    to: str
    readings: Mapping[str, Reading]
    ohms: float
    because: str


def disagreements(
    book: Book, chapter: Chapter, where: tuple[State, str], fault: Fault | None = None
) -> tuple[Disagreement, ...]:
    """The points of a chapter where the instruments differ, in a state on a series, sound or with a fault."""
    wiring = circuit_of(book, chapter, where[1])
    ground = next((ground.id for ground in wiring.grounds), CHASSIS)
    points = [str(use.point) for use in wiring.cavities]
    asked = [Measurement(instrument, point, ground) for point in points for instrument in TAKING]
    readings = read_state(book, wiring, where, asked, fault=fault)
    found = []
    for place, point in enumerate(points):
        three = readings[place * len(TAKING) : (place + 1) * len(TAKING)]
        if _differ(three):
            found.append(_told(point, ground, three))
    return tuple(found)


def _differ(readings: Sequence[Reading]) -> bool:
    """Whether two differ by more than both instruments' accuracy and last digit; a point may float for a voltmeter."""
    if readings[0].status == "floating":
        return True
    spread = [(reading.nominal, _doubt(reading)) for reading in readings if reading.nominal is not None]
    if len(spread) < len(readings):
        return False
    return max(value - doubt for value, doubt in spread) > min(value + doubt for value, doubt in spread)


def _doubt(reading: Reading) -> float:
    instrument, value = INSTRUMENTS[reading.measurement.instrument], reading.nominal or 0.0
    return abs(value) * instrument.of_reading + instrument.fixed + float(last_digit(instrument, value))


def _told(point: str, ground: str, readings: Sequence[Reading]) -> Disagreement:
    by_name = dict(zip(TAKING, readings, strict=True))
    volts, low, lamp = (reading.nominal or 0.0 for reading in readings)
    ohms = INSTRUMENTS["low-impedance"].ohms * (volts / low - 1) if low else float("inf")
    foreseen = volts * INSTRUMENTS["lamp"].ohms / (INSTRUMENTS["lamp"].ohms + max(ohms, 0.0))
    if readings[0].status == "floating":
        because = f"Nothing drives {point}: a voltmeter may show a ghost of what leaks there, a load shows none."
    elif any(reading.status == "fuse blown" for reading in readings[1:]) and readings[0].status != "fuse blown":
        because = f"A load at {point} takes so much current that a fuse blows."
    elif abs(lamp - foreseen) > 0.1 * abs(volts) and abs(ohms) < _LEAKAGE:
        because = f"The test lamp takes so much current at {point} that a relay, a lamp or a supply there changes over."
    elif ohms >= _LEAKAGE:
        because = (
            f"Nothing but a leakage or an input feeds {point} (about {_shown(ohms)}): "
            "the voltmeter shows a voltage that no load can use."
        )
    else:
        because = (
            f"About {_shown(ohms)} lies in the path to {point}: a resistor of the circuit, a corroded contact or a bad "
            "wire. The voltmeter takes too little current to show it."
        )
    return Disagreement(point, ground, by_name, ohms, because)


def _shown(ohms: float) -> str:
    return format_value(max(ohms, 0.0), "resistance", 2)
