"""How many minutes the work takes: reaching a plug, taking it off, waiting, holding the meter. THE table of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from authorkit.model.book import Book
from authorkit.model.procedure import Test
from authorkit.model.specification import State
from authorkit.model.wiring import Wiring, applies

# Minutes, common practice of one person who knows the vehicle. They only rank ways to work; nobody is paid by them.
TEST_MINUTES: Mapping[str, float] = {
    "scan": 1.0,
    "look": 1.0,
    "volts": 1.0,
    "drop": 1.5,
    "low-impedance": 1.0,
    "lamp": 1.0,
    "ohms": 1.0,
    "amps": 1.5,
    "hertz": 1.5,
    "duty": 1.5,
    "scope": 4.0,
    "insulation": 3.0,
    "absence": 5.0,
}
KEY_MINUTES = 0.25
# To reach a connector or a ground point whose access the vehicle notebook does not tell.
ACCESS_MINUTES = 5.0
# To plug in what is off, to take off again what has been reached before, to pull or fit a fuse, to set a jumper lead.
HAND_MINUTES = 0.5
FUSE_MINUTES = 1.0
# To open the service disconnect with gloves, lock and tag; the waiting time comes on top.
DISCONNECT_MINUTES = 10.0


@dataclass(frozen=True)
class Stand:
    """How the vehicle stands: the state that the last step left, and the plugs and points reached so far."""

    state: State | None = None
    reached: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Effort:
    """The minutes to reach each connector and ground point of a circuit, and to make high voltage dead."""

    access: Mapping[str, float]
    waiting: float
    plugs: Mapping[str, tuple[str, ...]]  # by a name that a state may unplug: the connectors that come off
    disconnect: tuple[str, ...] = ()  # the connectors of the service disconnect

    def of(self, stand: Stand, state: State | None, test: Test | None) -> tuple[float, Stand]:
        """The minutes to get from where the vehicle stands to a state and do a test there, and how it stands then."""
        now = state if state is not None else stand.state
        spent, reached = self._changed(stand, now)
        if test is not None:
            spent += TEST_MINUTES[test.kind]
            for owner in dict.fromkeys(point.owner for point in test.points):
                if owner not in reached:
                    spent += self._reach(owner)
                    reached |= {owner}
        return spent, Stand(now, reached)

    def _changed(self, stand: Stand, state: State | None) -> tuple[float, frozenset[str]]:
        before, after, reached = stand.state, state, stand.reached
        if after is None or after is before:
            return 0.0, reached
        spent = 0.0
        for connector in sorted(self.off(after) - self.off(before)):
            spent += HAND_MINUTES if connector in reached else self._reach(connector)
            reached |= {connector}
        spent += HAND_MINUTES * len(self.off(before) - self.off(after))
        if after.key and after.key != (before.key if before else ""):
            spent += KEY_MINUTES
        spent += FUSE_MINUTES * len(set(after.pulled) ^ set(before.pulled if before else ()))
        spent += HAND_MINUTES * len(set(after.jumpers) ^ set(before.jumpers if before else ()))
        if after.disconnect == "open" and (before is None or before.disconnect != "open"):
            spent += DISCONNECT_MINUTES + self.waiting
        return spent, reached

    def off(self, state: State | None) -> set[str]:
        """The connectors that are off in a state."""
        names = state.unplugged if state is not None else ()
        off = {connector for name in names for connector in self.plugs.get(name, (name,))}
        return off | set(self.disconnect) if state is not None and state.disconnect == "open" else off

    def _reach(self, owner: str) -> float:
        return self.access.get(owner, ACCESS_MINUTES)


def effort_of(book: Book, wiring: Wiring, series: str) -> Effort:
    """The minutes of one circuit on one series; access and waiting times as the vehicle notebook tells them."""
    access = {record.id: record.access.base / 60 for record in wiring.connectors if record.access is not None}
    access |= {record.id: record.access.base / 60 for record in wiring.grounds if record.access is not None}
    access |= {record.id: 0.0 for record in wiring.feeds}
    high_voltage = [record for record in book.vehicle.high_voltage if applies(record.series, series)]
    waits = [record.waiting.base / 60 for record in high_voltage]
    plugs: dict[str, tuple[str, ...]] = {}
    for connector in wiring.connectors:
        if connector.part:
            plugs[connector.part] = (*plugs.get(connector.part, ()), connector.id)
    plugs |= {connector.id: (connector.id,) for connector in wiring.connectors}
    disconnect = tuple(name for record in high_voltage for name in plugs.get(record.disconnect, ()))
    return Effort(access, max(waits, default=0.0), plugs, disconnect)
