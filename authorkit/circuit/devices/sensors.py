"""Sensors at the temperature, travel or level that the state gives them."""

from __future__ import annotations

import math
import re
from itertools import pairwise

from authorkit.circuit.netlist import OPEN, Change, Element, Mode, Param, Piece, Toggle, joint, resistor
from authorkit.circuit.site import Site, resistance_modes, site_words
from authorkit.circuit.states import share_of
from authorkit.units import Quantity, UnitError, parse_quantity

ZERO = 273.15  # K at 0 °C
_OWN_USE = 2e3  # Ω: what the electronics of a sensor draw from their supply, common practice
_WORKS_FROM = 3.5  # V
_OUTPUT = 100.0  # Ω in front of an active output
_SATURATED = 20.0  # Ω of an open-collector output that is on
_COMPLIANCE = 3.0  # V across a two-wire sensor below which it is a mere resistance
_END = 1e-3  # of the track, so that a wiper at its end keeps a resistance


def thermistor(site: Site) -> Piece:
    """A thermistor at the state's temperature, by its beta value or its table."""
    celsius = _celsius(site.word)
    if celsius is None or celsius <= -ZERO:
        return site.gap("this state gives it no temperature above absolute zero")
    table, r25 = site.device.values.get("table"), site.device.values.get("r25")
    if isinstance(table, tuple):
        pairs = [(t.base, r.base) for t, r in table if isinstance(t, Quantity)]
        ohms, param = table_ohms(pairs, celsius), None
    elif isinstance(r25, Quantity) and r25.low > 0 and "beta" in site.device.values:
        ohms = beta_ohms(r25.base, site.number("beta", 0.0), celsius)
        scale = ohms / r25.base
        param = Param(site.role("r25"), ohms, r25.low * scale, r25.high * scale) if r25.low != r25.high else None
    else:
        return site.gap("it has neither a table nor an 'r25' above zero with 'beta'")
    if ohms is None:
        return site.gap(f"its table does not reach {celsius:g} °C")
    name = site.role("r")
    element = resistor(name, (site.nodes[0], site.nodes[1]), ohms, param.name if param else "")
    return Piece((element,), params=(param,) if param else (), modes=resistance_modes(site, name, ohms))


def beta_ohms(r25: float, beta: float, celsius: float) -> float:
    """R = R25 · exp(B (1/T − 1/298.15 K))."""
    return r25 * math.exp(beta * (1 / (celsius + ZERO) - 1 / (25.0 + ZERO)))


def table_ohms(pairs: list[tuple[float, float]], celsius: float) -> float | None:
    """Between two rows of a table as a thermistor runs: ln R straight over 1/T. None outside the table."""
    rows = sorted((t, r) for t, r in pairs if t > -ZERO and r > 0)
    for (t0, r0), (t1, r1) in pairwise(rows):
        if t0 <= celsius <= t1:
            x, x0, x1 = (1 / (t + ZERO) for t in (celsius, t0, t1))
            part = (x - x0) / (x1 - x0)
            return math.exp(math.log(r0) + part * (math.log(r1) - math.log(r0)))
    return None


def _celsius(word: str) -> float | None:
    try:
        return parse_quantity(word, "temperature").base
    except UnitError:
        return None


def potentiometer(site: Site) -> Piece:
    """A track split by its wiper, which reaches its terminal through a resistor where one is told."""
    track, high, low = site.number("r", 0.0), site.nodes[0], site.nodes[2]
    if track <= 0:
        return site.gap("its 'r' is missing or not above zero")
    share = share_of(site.word)
    if share is None:
        return site.gap("this state gives it no travel, such as '25 %'")
    first, last = _span_shares(site.text("travel")) or (0.0, 1.0)
    place = min(max(first + share * (last - first), _END), 1 - _END)
    wiper, param = site.role("wiper"), site.param_name("r")
    elements = (
        resistor(site.role("upper"), (high, wiper), track * (1 - place), param),
        resistor(site.role("lower"), (wiper, low), track * place, param),
        joint(site.role("wiper-r"), (wiper, site.nodes[1]), site.number("series-r", 0.1)),
    )
    what = site_words(site)
    modes = (
        Mode("open", f"The wiper of {what[0].lower()}{what[1:]} is open", Change({site.role("wiper-r"): OPEN})),
        Mode("open track", f"{what} is broken above its wiper", Change({site.role("upper"): OPEN})),
        Mode(
            "out of tolerance",
            f"{what} has a worn spot of 10 kΩ under its wiper",
            Change({site.role("wiper-r"): 10e3}),
        ),
    )
    return Piece(elements, params=site.param("r"), modes=modes)


_SPAN = re.compile(r"(?P<low>[^ ]+ ?%|[^ ]+ ?m?V) to (?P<high>[^ ]+ ?%|[^ ]+ ?m?V)\Z")


def _span_shares(text: str) -> tuple[float, float] | None:
    match = _SPAN.match(text)
    if not match:
        return None
    low, high = share_of(match["low"]), share_of(match["high"])
    return (low, high) if low is not None and high is not None else None


def _span_volts(text: str) -> tuple[float, float] | None:
    match = _SPAN.match(text)
    if not match:
        return None
    try:
        return parse_quantity(match["low"], "voltage").base, parse_quantity(match["high"], "voltage").base
    except UnitError:
        return None


def active_output(site: Site) -> Piece:
    """A linear Hall sensor or three-wire sensor: a voltage while it is fed, else nothing."""
    supply, output, ground = site.nodes
    share, name = share_of(site.word), site.role("out")
    volts, shares = _span_volts(site.text("span")), _span_shares(site.text("span"))
    if share is None and site.state.awake:
        return site.gap("this state gives it no value, such as '25 %'")
    if volts is None and shares is None:
        return site.gap("its 'span' is not told")
    inner, at = site.role("inner"), share or 0.0
    level = volts[0] + at * (volts[1] - volts[0]) if volts else 0.0
    gain = shares[0] + at * (shares[1] - shares[0]) if shares and not volts else 0.0
    elements = (
        resistor(site.role("use"), (supply, ground), _OWN_USE),
        Element(site.role("v"), "V", inner, ground, level, control=(supply, ground), gain=gain),
        joint(name, (inner, output), _OUTPUT),
    )
    toggle = Toggle(
        site.role("fed"),
        _WORKS_FROM,
        _WORKS_FROM - 0.2,
        {name: _OUTPUT},
        {name: OPEN},
        across=(supply, ground),
        start=True,
        signed=True,
    )
    dead = Mode("internal", f"{site_words(site)} gives no signal", Change({name: OPEN}, frozen=(toggle.name,)))
    return Piece(elements, (toggle,), modes=(dead, *_stuck_levels(site, name, toggle)))


def _stuck_levels(site: Site, name: str, toggle: Toggle) -> tuple[Mode, ...]:
    supply, output, ground = site.nodes
    what = site_words(site)
    return tuple(
        Mode(
            f"stuck {word}",
            f"The output of {what[0].lower()}{what[1:]} stays {word}",
            Change({name: OPEN}, (resistor(site.role(f"stuck-{word}"), (output, end), _OUTPUT),), (toggle.name,)),
        )
        for word, end in (("low", ground), ("high", supply))
    )


def hall_switch(site: Site) -> Piece:
    """An open-collector output: 'low' pulls to the sensor's ground while it is fed, 'high' lets go."""
    supply, output, ground = site.nodes
    if site.word not in ("low", "high") and site.state.awake:
        return site.gap("this state gives it no level, 'low' or 'high'")
    name, on = site.role("out"), site.word == "low"
    value = _SATURATED if on else OPEN
    elements = (resistor(site.role("use"), (supply, ground), _OWN_USE), joint(name, (output, ground), value))
    toggle = Toggle(
        site.role("fed"),
        _WORKS_FROM,
        _WORKS_FROM - 0.2,
        {name: value},
        {name: OPEN},
        across=(supply, ground),
        start=True,
        signed=True,
    )
    what, frozen = site_words(site), (toggle.name,)
    modes = (
        Mode("stuck low", f"{what} always pulls its output low", Change({name: _SATURATED}, frozen=frozen)),
        Mode("internal", f"{what} never pulls its output low", Change({name: OPEN}, frozen=frozen)),
    )
    return Piece(elements, (toggle,), modes=modes)


def current_sensor(site: Site) -> Piece:
    """A two-wire sensor: a fixed current as long as it has some volts across it."""
    plus, minus = site.nodes
    if site.word not in ("low", "high"):
        return site.gap("this state gives it no level, 'low' or 'high'") if site.state.awake else Piece()
    amps = site.number(site.word, 0.0)
    if amps <= 0:
        return site.gap(f"its '{site.word}' current must be above zero")
    source, below = site.role("i"), site.role("r")
    ohms = _COMPLIANCE / amps
    elements = (
        Element(source, "I", plus, minus, 0.0, site.param_name(site.word)),
        joint(below, (plus, minus), ohms),
    )
    toggle = Toggle(
        site.role("works"),
        _COMPLIANCE,
        _COMPLIANCE,
        {source: amps, below: OPEN},
        {source: 0.0, below: ohms},
        across=(plus, minus),
        signed=True,
    )
    what, frozen = site_words(site), (toggle.name,)
    modes = (
        Mode("open", f"{what} is open", Change({source: 0.0, below: OPEN}, frozen=frozen)),
        Mode("shorted", f"{what} is shorted", Change({source: 0.0, below: 0.02}, frozen=frozen)),
        Mode(
            "internal",
            f"{what} draws {'its high' if site.word == 'low' else 'its low'} current all the time",
            Change({source: site.number("high" if site.word == "low" else "low", 0.0), below: OPEN}, frozen=frozen),
        ),
    )
    return Piece(elements, (toggle,), site.param(site.word), modes)
