"""Completion and help of a kernel, answered by the desk inside facts cells and by the kernel itself elsewhere."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Protocol

from authorkit.facts.notebook import Cell

if TYPE_CHECKING:
    from authorkit.desk.book_state import BookState
    from authorkit.desk.known_words import Offer
    from authorkit.desk.located import Origin
    from authorkit.desk.typing import Typing

_LONGEST_LABEL = 28


class Desk(Protocol):
    """What the hooks ask the desk for."""

    @property
    def state(self) -> BookState | None:
        """The book; None without a manual."""

    def typing(self) -> Typing | None:
        """The book around the cursor; None without a manual."""

    def origin(self) -> Origin:
        """Which notebook is open."""


def hook_kernel(kernel: Any, desk: Desk) -> None:
    """Let the desk answer `complete_request` and `inspect_request` for facts cells of this kernel.

    The kernel's own completion would offer Python's names, and ignores an empty list of ours; therefore its two methods
    are replaced on this one kernel, and called for all other cells.
    """
    own_complete, own_inspect = kernel.do_complete, kernel.do_inspect

    def do_complete(code: str, cursor_pos: int | None) -> Any:
        offset = len(code) if cursor_pos is None else cursor_pos
        if _is_facts(code, offset):
            return _or(lambda: _completed(desk, code, offset), _reply(offset, offset, ()))
        return _new_completed(desk, code, offset) or own_complete(code, cursor_pos)

    def do_inspect(code: str, cursor_pos: int, detail_level: int = 0, omit_sections: Any = ()) -> Any:
        if _is_facts(code, cursor_pos):
            nothing = {"status": "ok", "found": False, "data": {}, "metadata": {}}
            return _or(lambda: _explained(desk, code, cursor_pos), nothing)
        return own_inspect(code, cursor_pos, detail_level, omit_sections)

    kernel.do_complete, kernel.do_inspect = do_complete, do_inspect


def _or(answer: Callable[[], dict[str, Any]], nothing: dict[str, Any]) -> dict[str, Any]:
    """The answer; nothing, if the toolkit itself fails: somebody is typing, and the cell tells it when it is run."""
    try:
        return answer()
    except Exception:
        return nothing


def _is_facts(code: str, offset: int) -> bool:
    """Whether the cursor stands in the body of a facts cell."""
    return Cell("", 1, "code", code).is_facts and "%%facts" in code[:offset] and "\n" in code[:offset].lstrip()


def _completed(desk: Desk, code: str, offset: int) -> dict[str, Any]:
    """The reply to a `complete_request` (Jupyter's messaging, version 5); JupyterLab shows what each word is."""
    from authorkit.desk.completion import complete
    from authorkit.desk.lab import LOOSELY

    typing = desk.typing()
    if typing is None:
        return _reply(offset, offset, ())
    found = complete(typing, code, offset, desk.origin(), loosely=LOOSELY in os.environ)
    return _reply(found.start, found.end, found.offers)


def _new_completed(desk: Desk, code: str, offset: int) -> dict[str, Any] | None:
    """The reply on a line of `%new`; None on any other."""
    line = code[code.rfind("\n", 0, offset) + 1 : offset]
    if not line.lstrip().startswith("%new "):
        return None
    from authorkit.desk.new_chapter import new_offers

    found = new_offers(line, desk.state)
    return _reply(offset - len(found[0]), offset, found[1]) if found else None


def _reply(start: int, end: int, offers: Sequence[Offer]) -> dict[str, Any]:
    return {
        "status": "ok",
        "matches": [offer.text for offer in offers],
        "cursor_start": start,
        "cursor_end": end,
        "metadata": {
            "_jupyter_types_experimental": [
                {"start": start, "end": end, "text": offer.text, "type": _label(offer.about), "signature": ""}
                for offer in offers
            ]
        },
    }


def _label(about: str) -> str:
    """JupyterLab breaks a label at spaces, over the line below."""
    line = " ".join(about.split())
    short = line if len(line) <= _LONGEST_LABEL else f"{line[: _LONGEST_LABEL - 1]}…"
    return short.replace(" ", "\N{NO-BREAK SPACE}")


def _explained(desk: Desk, code: str, offset: int) -> dict[str, Any]:
    """The reply to an `inspect_request`."""
    from authorkit.desk.help import help_at

    typing = desk.typing()
    found = help_at(typing, code, offset, desk.origin()) if typing else None
    data = {"text/html": found.html, "text/plain": found.text} if found else {}
    return {"status": "ok", "found": found is not None, "data": data, "metadata": {}}
