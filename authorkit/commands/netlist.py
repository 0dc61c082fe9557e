"""`authorkit netlist CODE`: the circuit that was solved, in SPICE format, for recomputing it elsewhere."""

from __future__ import annotations

import argparse
import sys

from authorkit.circuit.readings import settled_circuit
from authorkit.circuit.spice import spice_text
from authorkit.circuit.states import phases_of
from authorkit.circuit.view import circuit_of
from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.commands.choice import (
    NotFoundError,
    add_code_argument,
    chosen_chapter,
    chosen_fault,
    chosen_series,
    chosen_states,
    say_not_found,
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `netlist`."""
    add_code_argument(parser)
    parser.add_argument("--series", metavar="ID", required=True, help="the series")
    parser.add_argument("--state", metavar="NAME", required=True, help="the state, as 'authorkit readings' names it")
    parser.add_argument("--fault", metavar="ID", help="a fault, as 'authorkit faults' names it")
    parser.add_argument(
        "--half", type=int, choices=(1, 2), default=1, help="which half of a pulsed state (default: 1, the 'on' half)"
    )


def run(options: argparse.Namespace) -> int:
    """Print the netlist; 1 where the circuit does not settle or a device could not be worked out."""
    try:
        book, chapter = chosen_chapter(options.code, options.manual)
        series = chosen_series(book, chapter, options.series)[0]
        state = chosen_states(chapter, series, options.state)[0]
        fault = chosen_fault(book, chapter, series, options.fault) if options.fault else None
    except NotFoundError as error:
        say_not_found(error)
        return COULD_NOT_RUN
    half = phases_of(state)[: options.half][-1].state
    circuit = settled_circuit(book, circuit_of(book, chapter, series), (half, series), fault)
    title = f"{chapter.code}, series {series}, state {options.state}, {fault.sentence if fault else 'no fault'}"
    sys.stdout.write(spice_text(circuit.netlist, title))
    for gap in circuit.netlist.gaps:
        print(f"authorkit: {gap.place}: {gap}", file=sys.stderr)
    if circuit.status != "settled":
        print(f"authorkit: this circuit has no answer: {circuit.status}.", file=sys.stderr)
    return FINDINGS if circuit.netlist.gaps or circuit.status != "settled" else CLEAN
