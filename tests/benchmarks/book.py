"""How long a manual of N chapters takes: `.venv/bin/python -m tests.benchmarks.book 100 [10 500 1000]`.

A synthetic manual is checked and built by the commands, in processes of their own: from nothing, with no change, after
one edit. Prints wall time, processor time and peak memory of the whole process tree, and ratios of the same run
against nbconvert's plain HTML of the same notebooks and, where WeasyPrint can be imported, its PDF of the HTML pages.
Nothing is asserted: a busy machine is slower.
"""

from __future__ import annotations

import importlib.util
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass
from pathlib import Path

import pikepdf

from tests.benchmarks.synthetic import make_book

_NBCONVERT = """
import sys
from pathlib import Path
from nbconvert import HTMLExporter
exporter = HTMLExporter()
for path in sorted(Path(sys.argv[1], "chapters").glob("*.ipynb")):
    Path(sys.argv[2], path.stem + ".html").write_text(exporter.from_filename(str(path))[0], encoding="utf-8")
"""
_WEASYPRINT = """
import sys
from pathlib import Path
from weasyprint import HTML
pages = []
for path in sorted(Path(sys.argv[1]).glob("*.html")):
    pages.append(HTML(filename=str(path)).render())
first, *others = pages
first.copy([page for document in pages for page in document.pages]).write_pdf(sys.argv[2])
"""


@dataclass(frozen=True)
class Run:
    """Seconds on the wall and of the processors, and the peak of the memory of all processes together in MB."""

    wall: float
    cpu: float
    peak: float


def main() -> None:
    """Measure each size named on the command line."""
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, load {os.getloadavg()[0]:.1f}")
    for size in map(int, sys.argv[1:] or ["100"]):
        with tempfile.TemporaryDirectory() as scratch:
            measure(Path(scratch) / "manual", size)


def measure(folder: Path, size: int) -> None:
    """One manual, from nothing to after an edit."""
    make_book(folder, size)
    runs: dict[str, Run] = {}
    for kind in ("check", "build --html", "build --pdf", "build"):
        shutil.rmtree(folder / "build" / "out", ignore_errors=True)
        for when in ("cold", "no change", "one edit"):
            if when == "one edit":
                _edit(folder)
            runs[f"{kind}, {when}"] = _command(*kind.split(), "--manual", str(folder))
    html, pdf = folder / "build" / "out" / "html", folder / "build" / "out" / "manual-a4.pdf"
    with pikepdf.open(pdf) as document:
        pages = len(document.pages)
    print(f"\n{size} chapters, {pages} pages, PDF {pdf.stat().st_size / 1e6:.1f} MB")
    for name, run in runs.items():
        print(f"{name:<28}{run.wall:8.1f} s wall {run.cpu:8.1f} s cpu {run.peak:7.0f} MB")
    other = folder / "other"
    other.mkdir()
    plain = _run(sys.executable, "-c", _NBCONVERT, str(folder), str(other))
    _print_ratio("nbconvert, HTML of each notebook", plain, runs["build --html, cold"])
    if importlib.util.find_spec("weasyprint") is None:
        print("WeasyPrint is not installed here; its PDF is not compared.")
        return
    _print_ratio(
        "WeasyPrint, PDF of the HTML pages",
        _run(sys.executable, "-c", _WEASYPRINT, str(html), str(other / "x.pdf")),
        runs["build --pdf, cold"],
    )


def _print_ratio(name: str, other: Run, ours: Run) -> None:
    print(f"{name}: {other.wall:.1f} s wall, {other.cpu:.1f} s cpu; ours takes {ours.cpu / other.cpu:.2f} × its cpu")


def _edit(folder: Path) -> None:
    """Add a sentence to the notes of one chapter."""
    path = folder / "chapters" / "P0532.ipynb"
    text = path.read_text(encoding="utf-8")
    mark = "## Notes from the bay\\n"
    assert mark in text
    path.write_text(
        text.replace(mark, mark + '",\n    "\\n",\n    "Look twice before you cut.\\n', 1), encoding="utf-8"
    )


def _command(*arguments: str) -> Run:
    return _run(sys.executable, "-m", "authorkit", *arguments)


def _run(*command: str) -> Run:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    peak = _Peak(process.pid)
    peak.start()
    code = process.wait()
    wall = time.perf_counter() - began
    peak.join()
    assert code == 0, command
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return Run(wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, peak.most / 1e6)


class _Peak(threading.Thread):
    """Looks ten times a second how much memory a process and all below it hold (shared pages counted in each)."""

    def __init__(self, pid: int) -> None:
        super().__init__(daemon=True)
        self.pid, self.most = pid, 0

    def run(self) -> None:
        while (now := sum(map(_resident, _tree(self.pid)))) or Path(f"/proc/{self.pid}").exists():
            self.most = max(self.most, now)
            time.sleep(0.1)


def _tree(pid: int) -> list[int]:
    try:
        found = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    except OSError:
        return [pid]
    return [pid, *(each for child in found for each in _tree(int(child)))]


def _resident(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text(encoding="ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, ValueError, IndexError):
        return 0


if __name__ == "__main__":
    main()
