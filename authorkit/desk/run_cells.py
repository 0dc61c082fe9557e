"""Running the code cells of chapters, and keeping what figure cells show. Nothing else in the toolkit runs them."""

from __future__ import annotations

import asyncio
import base64
import logging
import re
import subprocess
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import nbformat
from jupyter_client.kernelspec import NoSuchKernel
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError

from authorkit.facts.cell_figures import is_figure_cell
from authorkit.facts.cell_runs import Shown, code_cells, keep_shown, seen_by_cells, was_run
from authorkit.facts.notebook import Cell, Notebook, read_notebook
from authorkit.problems import Problem
from authorkit.store import KeptFiles

# What of an output goes into a page, best first: Jupyter's name, ours.
_MEDIA = (("image/svg+xml", "svg"), ("image/png", "png"), ("text/plain", "text"))
_LARGEST = 5_000_000  # bytes of one picture
# Run before the author's cells: gives them the toolkit's own helpers, and lets matplotlib draw lines instead of dots,
# the same ones each time.
_HIDDEN = """%load_ext authorkit.desk
_backend = get_ipython().config.InlineBackend
_backend.figure_formats = {"svg"}
_backend.rc = {"svg.hashsalt": "authorkit"}
_backend.print_figure_kwargs = {"bbox_inches": "tight", "metadata": {"Date": None}}
del _backend
"""
_ANSI = re.compile(r"\x1b\[[0-9;]*[A-Za-z]")
# Where Python could not read the cell: the name of the file means nothing to anybody, the line does.
_UNREAD = re.compile(r" \(\d+\.py, line (\d+)\)$")
_START_SECONDS = 60

# Findings say what happened; the client would say it again in words for programmers.
_SILENT = logging.Logger("cells")
_SILENT.addHandler(logging.NullHandler())


@dataclass(frozen=True)
class Limits:
    """How long one cell may take, in seconds, and how many notebooks run side by side."""

    seconds: float = 60.0
    side_by_side: int = 2


def run_cells(folder: Path, files: Iterable[str], kept: KeptFiles, limits: Limits = Limits()) -> tuple[Problem, ...]:
    """Run the code cells of those notebooks that have figure cells and were not run with the present facts.

    What figure cells show is kept; a cell that fails is a finding at its place and keeps nothing of its notebook.
    """
    seen = seen_by_cells(folder)
    notebooks = [read_notebook(folder, file)[0] for file in files]
    waiting = [
        notebook
        for notebook in notebooks
        if notebook and any(map(is_figure_cell, notebook.cells)) and not was_run(kept, notebook, seen)
    ]
    found = asyncio.run(_run_all(folder, waiting, limits)) if waiting else []
    problems: list[Problem] = []
    for notebook, outcome in zip(waiting, found, strict=True):
        if isinstance(outcome, Problem):
            problems.append(outcome)
        else:
            keep_shown(kept, notebook, seen, outcome)
    return tuple(problems)


async def _run_all(folder: Path, notebooks: Iterable[Notebook], limits: Limits) -> list[Mapping[int, Shown] | Problem]:
    """Each notebook in a kernel of its own, some side by side."""
    room = asyncio.Semaphore(limits.side_by_side)

    async def one(notebook: Notebook) -> Mapping[int, Shown] | Problem:
        async with room:
            return await _run(folder, notebook, limits)

    return await asyncio.gather(*(one(notebook) for notebook in notebooks))


async def _run(folder: Path, notebook: Notebook, limits: Limits) -> Mapping[int, Shown] | Problem:
    """What the figure cells of one notebook show, or the finding about the first cell that fails."""
    cells = code_cells(notebook)
    hidden, *written = [_to_run(source) for source in (_HIDDEN, *(cell.source for cell in cells))]
    client = NotebookClient(
        nbformat.from_dict(  # type: ignore[no-untyped-call]
            {"cells": [hidden, *written], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
        ),
        timeout=limits.seconds,
        startup_timeout=_START_SECONDS,
        kernel_name="python3",
        record_timing=False,
        log=_SILENT,
        resources={"metadata": {"path": str((folder / notebook.file).parent)}},
    )
    shown: dict[int, Shown] = {}
    try:
        # What the kernel says of itself is no part of any cell.
        async with client.async_setup_kernel(stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL):
            await client.async_execute_cell(hidden, 0)
            for number, (cell, run) in enumerate(zip(cells, written, strict=True), 1):
                problem = await _run_one(client, cell, run, number)
                if problem is not None:
                    return problem
                output = _shown(run.outputs) if is_figure_cell(cell) else None
                if output is not None:
                    shown[cell.number] = output
    except (NoSuchKernel, RuntimeError, DeadKernelError, CellExecutionError) as error:
        return _failed(cells[0], "the kernel that should run it does not start", _last_line(str(error)), 0)
    return shown


def _to_run(source: str) -> Any:
    """A cell for the kernel. Its id is of no use to anybody."""
    cell: dict[str, Any] = {
        "cell_type": "code",
        "execution_count": None,
        "metadata": {},
        "outputs": [],
        "source": source,
    }
    return nbformat.from_dict(cell)  # type: ignore[no-untyped-call]


async def _run_one(client: NotebookClient, cell: Cell, run: Any, number: int) -> Problem | None:
    """Run one cell; `number` counts the cells that run, from 1. The finding if it fails."""
    try:
        await client.async_execute_cell(run, number)
    except CellTimeoutError:
        return _failed(cell, f"it takes longer than {client.timeout:g} s", f"no end after {client.timeout:g} s", 0)
    except DeadKernelError:
        return _failed(cell, "the kernel that runs it died", "a dead kernel", 0)
    except CellExecutionError as error:
        found = ": ".join(filter(None, (error.ename, _UNREAD.sub("", _last_line(error.evalue)))))
        return _failed(
            cell, f"it ends with {error.ename}", found, _line_of(error, run.get("execution_count") or number + 1)
        )
    return None


def _failed(cell: Cell, why: str, found: str, line: int) -> Problem:
    return Problem(
        "cell-failed",
        f"The code of cell {cell.number} fails: {why}.",
        cell.place(line),
        found=found,
        expected="a cell that runs to its end",
        suggestion="Run the cell in JupyterLab and mend it; '--time-limit' of 'authorkit build' gives cells more time.",
    )


def _line_of(error: CellExecutionError, count: int) -> int:
    """The line of the cell at which it failed, from its traceback; 0 if that does not say."""
    unread = _UNREAD.search(_last_line(error.evalue))
    if unread:
        return int(unread[1])
    plain = _ANSI.sub("", error.traceback or "")
    lines = re.findall(rf"Cell In\[{count}\],? line (\d+)", plain)
    return int(lines[-1]) if lines else 0


def _last_line(text: str) -> str:
    """The last line that says something, without what a terminal obeys, at most 200 characters of it."""
    lines = [line.strip() for line in _ANSI.sub("", text or "").splitlines() if line.strip()]
    return lines[-1][:200] if lines else ""


def _shown(outputs: Iterable[Mapping[str, Any]]) -> Shown | None:
    """The best that the last output with something usable has."""
    for output in reversed(list(outputs)):
        data = output.get("data", {}) if output.get("output_type") in ("display_data", "execute_result") else {}
        for name, media in _MEDIA:
            if name in data:
                return _taken(media, data[name])
    return None


def _taken(media: str, told: str | list[str]) -> Shown | None:
    text = told if isinstance(told, str) else "".join(told)
    data = base64.b64decode(text) if media == "png" else text.encode("utf-8", "replace")
    return Shown(media, data) if len(data) <= _LARGEST else None
