"""The cell magic `%%facts`: runs the author's facts and shows below the cell what they come to."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from authorkit.desk.book_state import BookState, manual_above
from authorkit.desk.located import Origin, origin_of

_NO_MANUAL = (
    "There is no manual here: neither this folder nor one above it holds chapters/vehicle.ipynb. "
    "'authorkit init DIR' makes a new manual."
)


@dataclass
class Desk:
    """What one kernel keeps: the manual's folder and what was read of it. `shell` is IPython's."""

    shell: Any
    _state: BookState | None = field(default=None)

    @property
    def state(self) -> BookState | None:
        """The book of the nearest folder that holds a manual, looked for from the kernel's own folder upwards."""
        folder = manual_above(Path.cwd())
        if folder is None:
            return None
        if self._state is None or self._state.folder != folder:
            self._state = BookState(folder)
        return self._state

    def origin(self) -> Origin:
        """Which notebook and cell the program that shows the notebook names."""
        parent = self._parent()
        cell = str(parent.get("metadata", {}).get("cellId") or "")
        return origin_of(os.environ, self.shell.user_ns, cell)

    def source(self, line: str, body: str) -> str:
        """The cell as typed: IPython drops blank lines before the magic, and lines must be counted from the first."""
        typed = str(self._parent().get("content", {}).get("code") or "").replace("\r\n", "\n")
        return typed if typed.rstrip("\n").endswith(body.rstrip("\n")) else f"%%facts{line}\n{body}"

    def _parent(self) -> dict[str, Any]:
        """The message that the kernel is working on; empty outside of a kernel."""
        get_parent = getattr(self.shell, "get_parent", None)
        return (get_parent() or {}) if get_parent else {}

    def facts(self, line: str, body: str = "") -> None:
        """`%%facts`: check the cell and show what it comes to. The line holds nothing else."""
        state = self.state
        if state is None:
            print(_NO_MANUAL)
            return
        # Not needed before the first cell is run, and slow to load.
        from authorkit.desk.run_facts import run_facts

        _guarded(lambda: run_facts(state, self.source(line, body), self.origin()))


def _guarded(work: Callable[[], Iterator[Any]]) -> None:
    """Show each piece as soon as it is there. A fault of the toolkit itself is told in one line, not as a traceback."""
    from IPython.display import display

    try:
        for piece in work():
            display(piece)
    except Exception as error:
        print(f"This could not be shown, through no fault of yours: {type(error).__name__}: {error}")
        print("'authorkit check' in a terminal still checks the notebook. Please report this with the cell's text.")
