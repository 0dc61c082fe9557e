"""How long the longest capture takes, and how much memory: `.venv/bin/python -m tests.benchmarks.captures`.

Ten million rows of time and one channel, as CSV and as MDF 4 with and without compression, each in its own process.
"""

from __future__ import annotations

import multiprocessing
import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from authorkit.signals.capture import MOST_ROWS, read_capture
from authorkit.signals.measure import measure

_STEP = 1e-6
_BLOCK = 100_000


def _square(first: int, rows: int) -> tuple[np.ndarray, np.ndarray]:
    times = np.arange(first, first + rows) * _STEP
    return times, np.where((times * 120) % 1 < 0.5, 4.8, 0.2)


def _write_csv(path: Path, rows: int) -> None:
    with path.open("w", encoding="utf-8") as file:
        file.write("time_s,ch1_V\n")
        for first in range(0, rows, _BLOCK):
            times, values = _square(first, min(_BLOCK, rows - first))
            file.writelines(f"{at:.6f},{value:.3f}\n" for at, value in zip(times, values, strict=True))


def _write_mdf(path: Path, rows: int, compression: int) -> None:
    from asammdf import MDF, Signal

    times, values = _square(0, rows)
    with MDF(version="4.10") as file:
        file.append(Signal(values, times, name="Speed", unit="V"))
        file.save(path, overwrite=True, compression=compression)


def _read(path: Path, rows: int) -> None:
    start = time.perf_counter()
    capture = read_capture(path)
    read = time.perf_counter()
    values = measure(capture, 1)
    measured = time.perf_counter()
    if len(capture.times) != rows or abs(values["frequency"] - 120) > 0.01:
        sys.exit(f"{path.name} was read wrongly.")
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(
        f"{path.name:<18}{path.stat().st_size / 1e6:7.0f} MB  read {read - start:5.1f} s  "
        f"measured {measured - read:4.1f} s  {own:6.0f} MB of memory"
    )


def main() -> None:
    """Write, read and measure each."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else MOST_ROWS
    with tempfile.TemporaryDirectory() as folder:
        csv, plain, zipped = (Path(folder) / name for name in ("long.csv", "long.mf4", "long-zipped.mf4"))
        _write_csv(csv, rows)
        _write_mdf(plain, rows, 0)
        _write_mdf(zipped, rows, 2)
        for path in (csv, plain, zipped):
            process = multiprocessing.get_context("spawn").Process(target=_read, args=(path, rows))
            process.start()
            process.join()


if __name__ == "__main__":
    main()
