"""The module that is not heard on a bus: what a chapter measures at its plug."""

from __future__ import annotations

from authorkit.starters.additions import Additions
from authorkit.starters.bus import Bus
from authorkit.starters.ground import module_cavities
from authorkit.starters.numbers import parallel_window
from authorkit.starters.supply import module_supply
from authorkit.starters.surroundings import Surroundings

# Room for the tolerance of the end resistors and for the wires.
_SPREAD = 0.05


def partner_values(around: Surroundings, additions: Additions, bus: Bus, partner: str) -> dict[str, str]:
    """The placeholders of the bus template for the module that is not heard."""
    high, low = bus.nodes[partner]
    supply = module_supply(around, additions, partner)
    grounding = module_cavities(around, additions, partner, count=0).grounding
    stub = bus.stub(partner)
    trunk = [circuit for circuit in bus.circuits if circuit not in stub] or [*stub]
    plugs = dict.fromkeys(point.owner for point in (high, supply.cavity, grounding.cavity))
    left = [ohms for part, ohms in bus.ends.items() if part != partner]
    reading = parallel_window(left, _SPREAD) if left else "above 1 MΩ"
    return {
        "partner": partner,
        "partner_high": str(high),
        "partner_low": str(low),
        "partner_plugs": ", ".join(plugs),
        "partner_supply": str(supply.cavity),
        "supply_wire": supply.wire,
        "supply_fuse": supply.fused.fuse,
        "supply_output": str(supply.fused.output),
        "supply_feed": supply.fused.feed,
        "partner_ground": str(grounding.cavity),
        "ground_wire": grounding.wire,
        "ground": grounding.ground,
        "bus_reading": reading,
        "bus_least": f"{reading.split()[0]} Ω",
        "bit_time": bus.bit_time,
        "stub_high": stub[0],
        "stub_low": stub[1],
        "trunk": ", ".join(trunk),
        "circuits": ", ".join(bus.circuits),
    }


def choose_partner(around: Surroundings, bus: Bus, module: str, title: str) -> str:
    """The module that the title names; else one between the ends of the bus; else any other one."""
    others = [each for each in bus.nodes if each != module]
    said = title.casefold()
    named = (each for each in others if around.harness.whole_parts[each].name.casefold() in said)
    between = (each for each in others if each not in bus.ends)
    return next(named, None) or next(between, None) or others[0]
