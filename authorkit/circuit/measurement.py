"""What is measured, what an instrument then reads, and how that lies to a window."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.circuit.netlist import PART_SIDE
from authorkit.model.point import Point
from authorkit.model.specification import State
from authorkit.model.wiring import Wiring
from authorkit.units import Bound, Window

# Of the two halves of a pulsed state, the status that stands earlier counts.
STATUSES = ("not converged", "chatter", "undetermined", "live circuit", "fuse blown", "driven", "floating", "open")
WITH_NUMBER = ("fuse blown", "driven")


@dataclass(frozen=True)
class Measurement:
    """An instrument and its two points, `B5.1/part` for the part's side of a plug that is off; a clamp has no `to`."""

    instrument: str
    at: str
    to: str = ""


@dataclass(frozen=True)
class Reading:
    """One answer.

    `nominal`, `low` and `high` are in `unit`, None where there is no number to print. `status` is 'driven'; 'floating'
    (a voltmeter on a point that nothing drives); 'open' (no path for an ohmmeter: more than it shows); 'live circuit'
    (an ohmmeter on a live circuit); 'fuse blown' (the number holds after a fuse has opened); 'undetermined' (the state
    does not say what a device needs); 'not converged' and 'chatter'. `basis` tells how sure the limits are.
    `over_battery` holds the limits in volts of what the reading has over the voltage at the battery's posts; None where
    it is no voltage, the battery is off, or (in a study) no window of the author is told relative to the battery.
    """

    measurement: Measurement
    state: str
    unit: str
    nominal: float | None
    low: float | None
    high: float | None
    basis: str
    status: str
    over_battery: tuple[float, float] | None = None


def inside(reading: Reading, window: Window) -> str:
    """How a reading lies to a window: 'inside', 'outside', 'straddles', or 'unknown' where there is nothing to compare.

    An open circuit lies inside a window without an upper limit ('above 10 kΩ') and outside all others.
    """
    if reading.status == "open":
        return "inside" if window.high is None else "outside"
    sides = []
    if window.low is not None:
        sides.append(_side(reading, window.low, 1.0, inclusive=window.low_inclusive))
    if window.high is not None:
        sides.append(_side(reading, window.high, -1.0, inclusive=window.high_inclusive))
    if "unknown" in sides or "outside" in sides:
        return "unknown" if "unknown" in sides else "outside"
    return "straddles" if "straddles" in sides else "inside"


_DIMENSIONS = {"V": "voltage", "Ω": "resistance", "A": "current", "Hz": "frequency", "%": "ratio"}


def _side(reading: Reading, bound: Bound, sign: float, *, inclusive: bool) -> str:
    """How a reading lies to one limit: `sign` is 1 for a lower limit, −1 for an upper one."""
    ends = reading.over_battery if bound.of else (reading.low, reading.high)
    if _DIMENSIONS[reading.unit] != bound.dimension or ends is None or ends[0] is None or ends[1] is None:
        return "unknown"
    scale = 100.0 if reading.unit == "%" else 1.0
    margins = [sign * (end / scale - bound.offset.base) for end in ends if end is not None]
    clears = [margin >= 0 if inclusive else margin > 0 for margin in margins]
    return "inside" if all(clears) else "straddles" if any(clears) else "outside"


def measured(
    instrument: str, points: tuple[Point, Point | None], wiring: Wiring, state: State, *, side: str = ""
) -> Measurement:
    """A measurement with its sides chosen: as the author says ('part', 'harness'), else by custom.

    Where a plug is off, a meter is put to the harness. Only the ohmmeter across two cavities of one plug that is off
    measures the part that has been unplugged, unless the part is a module: nobody measures into a module.
    """
    to_part = side == "part" or (not side and _is_of_the_part(instrument, points, wiring, state))
    plugs = {connector.id for connector in wiring.connectors if connector.part}
    names = [f"{point}{PART_SIDE}" if to_part and point.owner in plugs else str(point) for point in points if point]
    return Measurement(instrument, names[0], names[1] if len(names) > 1 else "")


def _is_of_the_part(instrument: str, points: tuple[Point, Point | None], wiring: Wiring, state: State) -> bool:
    at, to = points
    plug = next((connector for connector in wiring.connectors if connector.id == at.owner), None)
    modules = {part.id for part in wiring.parts if part.kind == "module"}
    return (
        instrument == "ohms"
        and to is not None
        and at.owner == to.owner in state.unplugged
        and plug is not None
        and plug.part not in ("", *modules)
        and _joined_inside(wiring, at, to)
    )


def _joined_inside(wiring: Wiring, at: Point, to: Point) -> bool:
    """Whether some device of the part touches both cavities, or each of them."""
    touched = {terminal for device in wiring.devices for terminal in device.terminals}
    return at in touched and to in touched
