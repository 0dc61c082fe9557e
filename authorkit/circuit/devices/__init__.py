"""How devices behave in a circuit: THE table of expansions, one row a kind of `model.device_kinds`."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from authorkit.circuit.devices import lights, module, passive, sensors, sources, switches
from authorkit.circuit.netlist import Piece
from authorkit.circuit.site import Site

Expand = Callable[[Site], Piece]

EXPANSIONS: Mapping[str, Expand] = {
    "resistor": passive.two_ends,
    "heater": passive.two_ends,
    "solenoid": passive.two_ends,
    "winding": passive.two_ends,
    "terminator": passive.two_ends,
    "differential-input": passive.input_resistance,
    "link": passive.link,
    "isolation": passive.isolation,
    "motor": passive.motor,
    "motor-3": passive.three_phase,
    "lamp": lights.lamp,
    "diode": lights.diode,
    "led": lights.diode,
    "clamp": lights.clamp,
    "thermistor": sensors.thermistor,
    "potentiometer": sensors.potentiometer,
    "hall-switch": sensors.hall_switch,
    "hall-linear": sensors.active_output,
    "transducer": sensors.active_output,
    "current-sensor": sensors.current_sensor,
    "switch": switches.switch,
    "ladder-switch": switches.ladder,
    "selector": switches.selector,
    "coil": switches.coil,
    "contact": switches.contact,
    "contactor": switches.contactor,
    "fuse": switches.fuse,
    "battery": sources.cells,
    "pack": sources.cells,
    "converter": sources.converter,
    "reference": sources.reference,
    "loop-source": sources.loop_source,
    "excitation": sources.excitation,
    "pull-up": module.pull_up,
    "pull-down": module.pull_down,
    "module-ground": module.module_ground,
    "module-supply": module.module_supply,
    "low-side": module.low_side,
    "high-side": module.high_side,
    "half-bridge": module.half_bridge,
    "inverter-phase": module.inverter_phase,
    "transceiver": module.transceiver,
    "bus-node": module.bus_node,
    "read": module.nothing,
    "block": module.nothing,
}
