"""Processes that work side by side: started when there is something to do, replaced before they grow."""

from __future__ import annotations

import signal
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from multiprocessing import get_context
from typing import ParamSpec, TypeVar

_P = ParamSpec("_P")
_T = TypeVar("_T")

# Tasks of one process before another one takes its place: libraries keep a little of everything they did.
_TASKS_OF_ONE = 400


class Workers(Executor):
    """So many processes, spawned: the typesetter has threads of its own, which a forked one would wait for in vain."""

    def __init__(self, count: int) -> None:
        self.count = max(count, 1)
        self._pool: ProcessPoolExecutor | None = None
        self._given = 0

    def submit(self, fn: Callable[_P, _T], /, *args: _P.args, **kwargs: _P.kwargs) -> Future[_T]:
        """Hand a plain function and its data to the next free process."""
        if self._given >= _TASKS_OF_ONE * self.count:
            self._replace()
        if self._pool is None:
            self._pool = ProcessPoolExecutor(self.count, get_context("spawn"), _leave_ctrl_c_to_the_parent)
        self._given += 1
        return self._pool.submit(fn, *args, **kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """End all processes; what is running is finished first."""
        if self._pool is not None:
            self._pool.shutdown(wait=wait, cancel_futures=cancel_futures)
            self._pool = None

    def _replace(self) -> None:
        """Let the present processes finish what they have, and begin with new ones."""
        if self._pool is not None:
            self._pool.shutdown(wait=False)
        self._pool, self._given = None, 0


def _leave_ctrl_c_to_the_parent() -> None:
    """A terminal sends Ctrl-C to all processes; the parent is stopped and ends the others."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
