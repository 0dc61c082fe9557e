"""How fast the demo manual is checked and built: `.venv/bin/python -m tests.benchmarks`.

Runs the commands as an author does, in processes of their own, and prints times and ratios of this one run. Nothing
here is asserted: a busy machine is slower.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
# What the project aims at, in seconds, on two cores.
AIMS = {"help": 0.2, "check": 2.0, "build, nothing cached": 15.0, "build, no change": 3.0, "build, after one edit": 3.0}


def main() -> None:
    """Measure each command on a copy of the demo manual and print the table."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "manual"
        for name in ("chapters", "figures"):
            shutil.copytree(ROOT / name, folder / name)
        (folder / "build").mkdir()
        shutil.copy(ROOT / "build" / "manual.yaml", folder / "build")
        times = {
            "help": _best(3, "--help"),
            "check": _best(3, "check", "--manual", str(folder)),
            "build, nothing cached": _best(1, "build", "--manual", str(folder)),
            "build, no change": _best(2, "build", "--manual", str(folder)),
        }
        _edit(folder)
        times["build, after one edit"] = _best(1, "build", "--manual", str(folder))
    _print(times)


def _edit(folder: Path) -> None:
    """Change one sentence of one chapter."""
    path = folder / "chapters" / "P0118.ipynb"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Clear the code.", "Clear the code again."), encoding="utf-8")


def _best(runs: int, *arguments: str) -> float:
    """The shortest of some runs, in seconds."""
    best = float("inf")
    for _ in range(runs):
        start = time.perf_counter()
        command = [sys.executable, "-m", "authorkit", *arguments]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd=ROOT)
        best = min(best, time.perf_counter() - start)
    return best


def _print(times: dict[str, float]) -> None:
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}")
    bare = times["check"]
    for name, seconds in times.items():
        print(f"{name:<24}{seconds:7.2f} s   aim {AIMS[name]:4.1f} s   {seconds / bare:6.1f} × check")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"peak memory of one process: {peak:.0f} MB")


if __name__ == "__main__":
    main()
