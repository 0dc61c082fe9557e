"""The words typed in a terminal: one thin module a command, imported only when it is called."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module

# THE table of commands: word → (module, what it does). The modules stay unimported so that `--help` is instant.
COMMANDS: dict[str, tuple[str, str]] = {
    "check": ("check", "check the facts of every notebook"),
    "build": ("build", "check, then build the manual as HTML and PDF"),
    "watch": ("watch", "show the manual in a browser, built anew with every change that is saved"),
    "slides": ("slides", "show a chapter, or a class of them, as slides for teaching"),
    "tidy": ("tidy", "put notebooks in canonical form: no stored outputs, stable ids, small diffs"),
    "explain": ("explain", "explain a rule: what, why, an example, how to fix"),
    "measure": ("measure", "measure a capture: levels, times, frequency, phase, modulation"),
    "pictures": ("pictures", "write every picture as a file, and all of them on a contact sheet"),
    "schema": ("schema", "print the JSON Schema of the facts"),
    "readings": ("readings", "compute what each instrument reads, sound or with a fault"),
    "netlist": ("netlist", "print the computed circuit in SPICE format"),
    "faults": ("faults", "list every single fault of a chapter's circuit"),
    "draft": ("draft", "propose a procedure of least expected minutes from the faults of a page"),
    "explain-codes": ("explain_codes", "find the single faults that set some codes together"),
    "prove": ("prove", "walk every fault through the procedure: where each one ends, right or wrong"),
    "init": ("init", "make a new manual with one worked chapter"),
    "new": ("new", "make a chapter notebook from a kind of circuit"),
    "desk": ("desk", "open JupyterLab on the manual; facts cells show what they come to"),
}

# Threads of the library behind numpy: on matrices as small as those of a circuit, several only wait for each other.
# It counts before numpy is imported, and in the processes that a command starts.
_ONE = "1"

# Exit codes, the same for every command.
CLEAN, FINDINGS, COULD_NOT_RUN = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code (0 clean, 1 findings, 2 could not run)."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    command = given[0] if given else ""
    if command not in COMMANDS:
        _parser().parse_args(given or ["--help"])
        return COULD_NOT_RUN  # argparse has left by itself, except for a lone known option
    parser = argparse.ArgumentParser(prog=f"authorkit {command}", description=f"{COMMANDS[command][1].capitalize()}.")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", _ONE)
    try:
        module = import_module(f"authorkit.commands.{COMMANDS[command][0]}")
        module.add_arguments(parser)
        outcome: int = module.run(parser.parse_args(given[1:]))
    except OSError as error:
        print(
            f"authorkit: could not run: {error.strerror or error}: {error.filename or ''}".rstrip(": "), file=sys.stderr
        )
        return COULD_NOT_RUN
    except KeyboardInterrupt:
        print("authorkit: stopped; the last good output is untouched.", file=sys.stderr)
        return COULD_NOT_RUN
    return outcome


def _parser() -> argparse.ArgumentParser:
    """The parser of the bare program: it only knows the names of the commands."""
    width = max(len(name) for name in COMMANDS) + 2
    listing = "\n".join(f"  {name:<{width}}{words}" for name, (_, words) in COMMANDS.items())
    parser = argparse.ArgumentParser(
        prog="authorkit",
        description="Diagnostic manuals from notebooks: facts in, checked, printed as HTML and PDF.",
        epilog=f"commands:\n{listing}\n\n'authorkit COMMAND --help' tells the options of a command.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        usage="authorkit COMMAND [options]",
    )
    parser.add_argument("--version", action="version", version=_version())
    parser.add_argument("command", choices=COMMANDS, metavar="COMMAND", help="one of the commands below")
    return parser


def _version() -> str:
    from importlib.metadata import version

    return f"authorkit {version('authorkit')}"
