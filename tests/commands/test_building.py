"""Building as a function: the same bytes however it is done, and nothing lost when it is stopped."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from authorkit.commands.building import Wanted, build_manual
from authorkit.output.side_by_side import Workers
from authorkit.store import KeptFiles

SENSORS = Wanted(selection="sensors", page_sizes=("a4",))


def outputs(folder: Path) -> dict[str, bytes]:
    out = folder / "build" / "out"
    paths = (path for path in sorted(out.rglob("*")) if path.is_file() and ".cache" not in path.parts)
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in paths}


def built(folder: Path, seed: str, workers: int) -> dict[str, bytes]:
    """What a build in a process of its own writes."""
    options = ["build", "--manual", str(folder), "--class", "sensors", "--workers", str(workers)]
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    command = [sys.executable, "-m", "authorkit", *options]
    subprocess.run(command, check=True, env=environment, stdout=subprocess.DEVNULL, cwd=folder)
    return outputs(folder)


@pytest.mark.slow
def test_hash_seed_workers_and_order_of_files_change_no_byte(manual: Path, tmp_path: Path) -> None:
    shuffled = tmp_path / "shuffled"
    paths = sorted(path for path in manual.rglob("*") if path.is_file())
    for path in reversed(paths):  # a folder lists its files in the order in which they came, or in none
        target = shuffled / path.relative_to(manual)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(path, target)
    first = built(manual, "0", 1)
    assert any(name.endswith(".pdf") for name in first)
    second = built(shuffled, "1", 2)
    again = built(shuffled, "2", 1)  # from what the last one kept
    assert first.keys() == second.keys() == again.keys()
    del first["report.html"], second["report.html"], again["report.html"]  # names the folder
    assert first == second == again


@pytest.mark.slow
def test_ctrl_c_leaves_the_last_good_manual_in_place(manual: Path, edit) -> None:  # type: ignore[no-untyped-def]
    good = built(manual, "0", 2)
    edit(manual, "P0118", "Clear the code.", "Clear the code once.")
    for wait in (1.5, 4.0):
        shutil.rmtree(manual / "build" / "out" / ".cache", ignore_errors=True)
        command = [sys.executable, "-m", "authorkit", "build", "--manual", str(manual), "--class", "sensors"]
        process = subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, start_new_session=True)
        time.sleep(wait)
        os.killpg(process.pid, signal.SIGINT)
        _, told = process.communicate(timeout=60)
        assert process.returncode != 0
        assert b"Traceback" not in told, told.decode()
        assert outputs(manual) == good


def test_any_executor_gives_what_none_gives(manual: Path) -> None:
    told: list[str] = []
    kept = KeptFiles(None)
    alone = build_manual(manual, SENSORS, kept=kept)
    assert alone.made, alone.findings.errors
    first = outputs(manual)
    with ThreadPoolExecutor(2) as executor:
        again = build_manual(
            manual, SENSORS, kept=kept, executor=executor, tell=lambda what, done, whole: told.append(what)
        )
    assert (again, outputs(manual)) == (alone, first)
    assert {"pages composed", "parts typeset"} <= set(told)


def test_a_wrong_name_is_told_and_nothing_is_written(manual: Path) -> None:
    for wanted in (Wanted(selection="nobody"), Wanted(series="Z")):
        outcome = build_manual(manual, wanted, kept=KeptFiles(None))
        assert "there is no" in outcome.refused
        assert outcome.made == ()
    assert outputs(manual) == {}


def test_workers_start_late_and_are_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("authorkit.output.side_by_side._TASKS_OF_ONE", 2)
    with Workers(1) as workers:
        assert workers._pool is None
        tasks = [workers.submit(os.getpid) for _ in range(5)]
        assert len({task.result() for task in tasks}) == 3
    with Workers(2) as idle:
        assert idle._pool is None
