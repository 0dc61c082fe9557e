"""What this toolkit is: its own files, fonts and themes, and the libraries that decide what comes out of it."""

from __future__ import annotations

import hashlib
import sys
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

# Every library the package needs to make a manual. A test holds the list against pyproject.toml.
LIBRARIES = (
    "asammdf",
    "fonttools",
    "jinja2",
    "markdown-it-py",
    "matplotlib",
    "mdit-py-plugins",
    "numpy",
    "pikepdf",
    "pyyaml",
    "schemdraw",
    "typst",
)


@lru_cache(maxsize=1)
def toolkit_digest() -> str:
    """A digest of the toolkit: another one as soon as anything differs that could change its results.

    It is made from the bytes of all files of the package (4 MB, some 0.03 s), once in a process; times of files would
    be quicker and may lie.
    """
    digest = hashlib.sha256(f"python {sys.version_info[:3]}\n".encode())
    for library in LIBRARIES:
        digest.update(f"{library} {_version(library)}\n".encode())
    package = Path(__file__).parent.parent
    for path in sorted(package.rglob("*")):
        if path.suffix != ".pyc" and path.is_file():
            digest.update(f"{path.relative_to(package).as_posix()}\n".encode())
            digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def _version(library: str) -> str:
    try:
        return version(library)
    except PackageNotFoundError:
        return "absent"
