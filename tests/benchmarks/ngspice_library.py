"""ngspice as a library in this process (Debian package libngspice0), by its C interface."""

from __future__ import annotations

import ctypes
from collections.abc import Sequence
from typing import Any

LIBRARY = "libngspice.so.0"

_SAY = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_void_p)
_EXIT = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_int, ctypes.c_bool, ctypes.c_bool, ctypes.c_int, ctypes.c_void_p)


class _Vector(ctypes.Structure):
    """`vector_info` of sharedspice.h."""

    _fields_ = (
        ("name", ctypes.c_char_p),
        ("type", ctypes.c_int),
        ("flags", ctypes.c_short),
        ("real", ctypes.POINTER(ctypes.c_double)),
        ("complex", ctypes.c_void_p),
        ("length", ctypes.c_int),
    )


class Library:
    """One simulator; it may be made once a process. Raises OSError where the library is not installed."""

    def __init__(self) -> None:
        """Load and silence it."""
        self._library: Any = ctypes.CDLL(LIBRARY)
        self._quiet = (_SAY(lambda *_: 0), _SAY(lambda *_: 0), _EXIT(lambda *_: 0))
        self._library.ngSpice_Init(*self._quiet, None, None, None, None)
        self._library.ngGet_Vec_Info.restype = ctypes.POINTER(_Vector)

    def operating_point(self, deck: str, nodes: Sequence[str]) -> list[float]:
        """The voltages of some nodes of a deck."""
        lines = [line.encode() for line in deck.splitlines() if line != ".op"]
        array = (ctypes.c_char_p * (len(lines) + 1))(*lines, None)
        self._library.ngSpice_Circ(array)
        self._command("op")
        found = [self._library.ngGet_Vec_Info(node.encode()).contents.real[0] for node in nodes]
        self._command("destroy all")
        self._command("remcirc")
        return found

    def _command(self, words: str) -> None:
        self._library.ngSpice_Command(words.encode())
