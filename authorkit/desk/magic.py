"""What the extension registers: `%%facts`, completion and help in facts cells, and helpers for other cells.

Nothing slow is imported here, so that a kernel starts at once; it is loaded in the background while the author reads.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from authorkit.desk.book_state import BookState
    from authorkit.desk.located import Origin
    from authorkit.desk.typing import Typing

NO_MANUAL = (
    "There is no manual here: neither this folder nor one above it holds chapters/vehicle.ipynb. "
    "'authorkit init DIR' makes a new manual."
)
_SLOW = ("authorkit.desk.run_facts", "authorkit.desk.completion", "authorkit.desk.help")


@dataclass
class Desk:
    """What one kernel keeps: the manual's folder and what was read of it. `shell` is IPython's."""

    shell: Any
    _typing: Typing | None = field(default=None)

    @property
    def state(self) -> BookState | None:
        """The book of the nearest folder that holds a manual, looked for from the kernel's own folder upwards."""
        from authorkit.desk.book_state import manual_above, state_of

        folder = manual_above(Path.cwd())
        return state_of(folder) if folder is not None else None

    def typing(self) -> Typing | None:
        """The book around the cursor; None without a manual."""
        from authorkit.desk.typing import Typing

        state = self.state
        if state is None:
            return None
        if self._typing is None or self._typing.state is not state:
            self._typing = Typing(state)
        return self._typing

    def origin(self) -> Origin:
        """Which notebook and cell the program that shows the notebook names."""
        from authorkit.desk.located import origin_of

        cell = str(self._parent().get("metadata", {}).get("cellId") or "")
        return origin_of(os.environ, self.shell.user_ns, cell)

    def source(self, line: str, body: str) -> str:
        """The cell as typed: IPython drops blank lines before the magic, and lines must be counted from the first."""
        typed = str(self._parent().get("content", {}).get("code") or "").replace("\r\n", "\n")
        whole = "%%facts" in typed and typed.rstrip("\n").endswith(body.rstrip("\n"))
        return typed if whole else f"%%facts{line and ' ' + line}\n{body}"

    def _parent(self) -> dict[str, Any]:
        """The message that the kernel is working on; empty outside of a kernel."""
        get_parent = getattr(self.shell, "get_parent", None)
        return (get_parent() or {}) if get_parent else {}

    def facts(self, line: str, body: str = "") -> None:
        """`%%facts`: check the cell and show what it comes to. The line holds nothing else."""
        from authorkit.desk.run_facts import run_facts

        state = self.state
        if state is None:
            _say(NO_MANUAL)
        else:
            _guarded(lambda: run_facts(state, self.source(line, body), self.origin()))

    def new(self, line: str) -> None:
        """`%new KIND CODE`: make a chapter from a kind of circuit. Alone, it shows what there is, and asks."""
        from authorkit.desk.new_chapter import asked_wish, guide, make, wish_of
        from authorkit.starters.error import StarterError

        state = self.state
        if state is None:
            _say(NO_MANUAL)
            return

        def work() -> Iterator[Any]:
            if not line.strip():
                yield guide(state)
            try:
                wish = wish_of(line) if line.strip() else self._asked(asked_wish)
                if wish is not None:
                    yield make(state, wish)
            except StarterError as error:
                _say(str(error))

        _guarded(work)

    def _asked(self, questions: Callable[[Callable[[str], str]], Any]) -> Any:
        """What the author answers; None where the program that shows the notebook cannot ask."""
        allows = getattr(getattr(self.shell, "kernel", None), "_allow_stdin", False)
        return questions(input) if allows else None

    def page(self, line: str) -> None:
        """`%page`: this notebook's chapter as the HTML page that it becomes; `%page --pdf` as it is printed."""
        from authorkit.desk.asking import AskError, chapter_here
        from authorkit.desk.page_view import view_page

        def work() -> Iterator[Any]:
            words = line.split()
            codes = [word for word in words if not word.startswith("-")]
            if set(words) - {"--pdf", *codes} or len(codes) > 1:
                _say("Write %page, %page --pdf, or a code behind it for another chapter.")
                return
            try:
                book, chapter = chapter_here(codes[0] if codes else "")
            except AskError as error:
                _say(str(error))
                return
            yield view_page(book, chapter, pdf="--pdf" in words)

        _guarded(work)


def register(shell: Any) -> Desk:
    """Register everything with IPython's shell; completion and help only where it belongs to a kernel."""
    desk = Desk(shell)
    shell.register_magic_function(desk.facts, "cell", "facts")
    shell.register_magic_function(desk.new, "line", "new")
    shell.register_magic_function(desk.page, "line", "page")
    kernel = getattr(shell, "kernel", None)
    if kernel is not None:
        from authorkit.desk.kernel_hooks import hook_kernel

        hook_kernel(kernel, desk)
        if "JPY_SESSION_NAME" in os.environ:
            threading.Thread(target=lambda: [import_module(name) for name in _SLOW], daemon=True).start()
    return desk


def _guarded(work: Callable[[], Iterator[Any]]) -> None:
    """Show each piece as soon as it is there. A fault of the toolkit itself is told in one line, not as a traceback."""
    from IPython.display import display

    try:
        for piece in work():
            display(piece)  # type: ignore[no-untyped-call]
    except Exception as error:
        _say(
            f"This could not be shown, through no fault of yours: {type(error).__name__}: {error}\n"
            "'authorkit check' in a terminal still checks the notebook. Please report this with the cell's text."
        )


def _say(text: str) -> None:
    """A line of text below the cell."""
    sys.stdout.write(f"{text}\n")
