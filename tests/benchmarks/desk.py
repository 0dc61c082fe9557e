"""How fast the author's desk is: `.venv/bin/python -m tests.benchmarks.desk`.

What an author waits for: a kernel that starts, a facts cell that is run after a change, a word that is completed; and
`authorkit --help`, which must not pay for any of it. Prints times of this one run; nothing here is asserted.
"""

from __future__ import annotations

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
# What the project aims at, in seconds.
AIMS = {"import of all that a cell needs": 0.7, "Shift-Enter, warm": 1.0, "completion": 0.1, "authorkit --help": 0.2}
# A chapter of twelve wires and more (both series together).
CODE = "P0480"
_EDITS = ("10 °C", "11 °C", "12 °C", "13 °C", "14 °C")


def main() -> None:
    """Measure on a copy of the demo manual and print the table."""
    modules = "authorkit.desk.run_facts, authorkit.desk.completion, authorkit.desk.help"
    times = {
        "import of all that a cell needs": _process("-c", f"import {modules}") - _process("-c", "import sys"),
        "authorkit --help": _process("-m", "authorkit", "--help"),
    }
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        for name in ("chapters", "figures", "build"):
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("out", ".*"))
        times |= _in_kernel(folder)
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}")
    for name, seconds in times.items():
        aim = f"aim {AIMS[name]:.1f} s" if name in AIMS else ""
        print(f"{name:<34}{seconds:7.3f} s   {aim}")


def _process(*arguments: str) -> float:
    """The shortest of three runs of Python."""
    return min(
        _seconds(lambda: subprocess.run([sys.executable, *arguments], check=True, capture_output=True, cwd=ROOT))
        for _ in range(3)
    )


def _seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _in_kernel(folder: Path) -> dict[str, float]:
    """What the kernel itself takes, without the messages to and from it."""
    from authorkit.desk.book_state import BookState
    from authorkit.desk.completion import complete
    from authorkit.desk.located import Origin
    from authorkit.desk.run_facts import run_facts
    from authorkit.desk.typing import Typing

    cells = json.loads((folder / "chapters" / f"{CODE}.ipynb").read_text(encoding="utf-8"))["cells"]
    source = next(text for cell in cells if (text := "".join(cell["source"])).startswith("%%facts"))
    state = BookState(folder)

    def run(text: str) -> float:
        return _seconds(lambda: list(run_facts(state, text, Origin())))

    first = run(source)
    # Each run with another value, so that nothing comes from what was kept.
    edited = [
        run(source.replace("0.35 Ω", f"0.3{number} Ω").replace("20 °C", word)) for number, word in enumerate(_EDITS)
    ]
    typing = Typing(state)
    offsets = range(200, len(source), len(source) // 40)
    words = [
        _seconds(lambda at=offset: complete(typing, source[:at] + source[at:], at, Origin())) for offset in offsets
    ]
    return {
        "Shift-Enter, first in a kernel": first,
        "Shift-Enter, warm": statistics.median(edited),
        "Shift-Enter, nothing changed": run(source),
        "completion": statistics.median(words),
        "completion, slowest": max(words),
    }


if __name__ == "__main__":
    main()
