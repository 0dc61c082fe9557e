"""The author's desk: facts cells that show what they come to, completion and help, in JupyterLab or plain Jupyter.

`%load_ext authorkit.desk` in a notebook, or the kernel that `authorkit desk` sets up, which loads it by itself. Code
cells may use the functions below; the extension puts them there, any other program imports them from here. Nothing
slow is loaded before it is used.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from authorkit.desk.ask_pictures import Shown
    from authorkit.desk.ask_readings import Readings


def load_ipython_extension(shell: Any) -> None:
    """IPython's hook: register the magics, completion and help, and give the notebook the helpers."""
    from authorkit.desk.magic import register

    register(shell)
    shell.push({"readings": readings, "capture": capture, "circuit": circuit}, interactive=False)


def readings(
    at: str,
    state: str | Mapping[str, object] = "",
    *,
    to: str = "",
    instrument: str = "volts",
    series: str = "",
    fault: str = "",
    code: str = "",
) -> Readings:
    """What an instrument reads at a point in a state: `readings("M1-A.23", "cold")`.

    `to` is the second point (ground, if left out), `state` a named state of the chapter or one written out
    (`{"key": "on", "unplug": "B5"}`), `series` limits the answer, `fault` names a fault as 'authorkit faults' lists
    them, `code` another chapter than this notebook's. Raises AskError with one sentence.
    """
    from authorkit.desk.ask_readings import Question, ask

    return ask(Question(at, state, to, instrument, series, fault, code))


def capture(file: str, channel: int | None = None) -> Shown:
    """A capture drawn and measured: `capture("figures/speed-120hz.csv")`; `channel` (from 1) limits what is measured.

    The file is looked for from this notebook's folder, the manual's folder and its figures/. Raises AskError with one
    sentence.
    """
    from authorkit.desk.ask_pictures import show_capture

    return show_capture(file, channel)


def circuit(series: str = "", *, code: str = "") -> Shown:
    """The circuit of this notebook's chapter, or of another code, on a series (the first, if left out).

    Raises AskError with one sentence.
    """
    from authorkit.desk.ask_pictures import show_circuit

    return show_circuit(series, code)
