"""A process of its own for what may die or never end; kept alive, so that its libraries are loaded once."""

from __future__ import annotations

import atexit
import multiprocessing
import os
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import TypeVar

T = TypeVar("T")

_SECONDS = 120.0
# Memory in bytes, far above what the limits of a capture allow, far below what stops a machine.
_MEMORY = 8 << 30
_lock = threading.Lock()
_running: list[tuple[BaseProcess, Connection]] = []


def apart(function: Callable[..., T], *arguments: object, seconds: float = _SECONDS) -> T | None:
    """What a function returns in the other process; None if that process died or took longer than `seconds`.

    The function must not raise; it, its arguments and its result must be such as pickle takes.
    """
    with _lock:
        connection = _running[0][1] if _running else _started()
        try:
            connection.send((function, arguments))
            if connection.poll(seconds):
                result: T = connection.recv()
                return result
        except (EOFError, OSError):  # it died
            pass
        _end()
        return None


def _started() -> Connection:
    # Spawned on every system: a forked one would inherit the threads of whoever calls.
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=_serve, args=(theirs,), daemon=True)
    process.start()
    theirs.close()
    _running.append((process, ours))
    return ours


@atexit.register
def _end() -> None:
    """End the process; the next call starts another."""
    while _running:
        process, connection = _running.pop()
        process.kill()
        process.join()
        process.close()
        connection.close()


def _serve(connection: Connection) -> None:
    """Answer until nobody asks any more."""
    _limit_memory()
    # What a library prints of a bad file is no word to the author.
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    while True:
        try:
            function, arguments = connection.recv()
        except (EOFError, KeyboardInterrupt):
            return
        connection.send(function(*arguments))


def _limit_memory() -> None:
    """Where the system knows such a limit."""
    try:
        import resource
    except ImportError:
        return
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    if hard == resource.RLIM_INFINITY or hard > _MEMORY:
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, hard))
