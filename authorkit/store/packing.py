"""Records of the toolkit as bytes and back, for what is kept on disk.

What lies in a folder may have been put there by anybody, so reading makes nothing but the toolkit's own dataclasses and
enumerations and a few plain types, and calls nothing else: a file that asks for more is refused.
"""

from __future__ import annotations

import io
import pickle
from dataclasses import is_dataclass
from enum import Enum
from importlib import import_module
from typing import Any

_PACKAGE = "authorkit."
_PLAIN = frozenset(
    {
        ("builtins", "complex"),
        ("builtins", "frozenset"),
        ("builtins", "set"),
        ("datetime", "date"),
        ("decimal", "Decimal"),
        ("fractions", "Fraction"),
    }
)


def packed(record: object) -> bytes:
    """A record, or tuples, lists and dictionaries of records, as bytes."""
    return pickle.dumps(record, protocol=5)


def unpacked(data: bytes) -> Any:
    """What `packed` made bytes of. Raises ValueError for bytes that are nothing of the kind.

    They may be of another version of the toolkit or forged: only what was kept under a key that names the toolkit
    fits today's classes.
    """
    try:
        return _Unpacker(io.BytesIO(data)).load()
    except Exception as error:  # damaged bytes raise nearly anything, from EOFError to MemoryError
        raise ValueError(f"not something that was packed: {error}") from error


class _Unpacker(pickle.Unpickler):
    """Finds only classes that hold data."""

    def find_class(self, module_name: str, global_name: str, /) -> Any:
        if (module_name, global_name) in _PLAIN:
            return getattr(import_module(module_name), global_name)
        if module_name.startswith(_PACKAGE) and not module_name.endswith("__main__") and "." not in global_name:
            found = getattr(import_module(module_name), global_name)
            if isinstance(found, type) and (is_dataclass(found) or issubclass(found, Enum)):
                return found
        raise pickle.UnpicklingError(f"'{module_name}.{global_name}' is no record of the toolkit")
