"""The desk's kernel as a notebook program meets it: through Jupyter's messages, in a process of its own."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path
from queue import Empty
from typing import Any

import pytest
from jupyter_client.blocking.client import BlockingKernelClient
from jupyter_client.manager import KernelManager

from authorkit.desk.lab import lab_environment
from tests.desk.conftest import copy_of_the_demo

SECONDS = 60  # to wait for an answer of a busy machine


@pytest.fixture(scope="module")
def kernel(repo_root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[BlockingKernelClient]:
    """A kernel as JupyterLab starts it for the chapter P0118 of the demo manual."""
    folder = copy_of_the_demo(repo_root, tmp_path_factory.mktemp("kernel")) / "chapters"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("JUPYTER_PATH", lab_environment(os.environ)["JUPYTER_PATH"])
        manager = KernelManager(kernel_name="python3")
        environment = {**lab_environment(os.environ), "JPY_SESSION_NAME": str(folder / "P0118.ipynb")}
        manager.start_kernel(cwd=str(folder), env=environment)
    client = manager.blocking_client()
    client.start_channels()
    client.wait_for_ready(timeout=SECONDS)
    yield client
    client.stop_channels()
    manager.shutdown_kernel(now=True)


def run(kernel: BlockingKernelClient, code: str) -> list[dict[str, Any]]:
    """Run a cell; its outputs as in a notebook."""
    asked = kernel.execute(code)
    outputs = []
    while True:
        try:
            message = kernel.get_iopub_msg(timeout=SECONDS)
        except Empty:
            pytest.fail("the kernel does not answer")
        if message["parent_header"].get("msg_id") != asked:
            continue
        if message["msg_type"] in ("stream", "display_data", "execute_result", "error"):
            outputs.append(message["content"])
        if message["msg_type"] == "status" and message["content"]["execution_state"] == "idle":
            return outputs


def test_a_facts_cell_runs_without_anything_being_loaded_by_hand(
    kernel: BlockingKernelClient, facts_of: dict[str, str]
) -> None:
    outputs = run(kernel, facts_of["chapters/P0118.ipynb"])
    first = outputs[0]["data"]["text/plain"]
    assert (first.split(":")[0], "error" in first) == ("chapters/P0118.ipynb", False)
    assert "data:image/svg+xml;base64," in outputs[1]["data"]["text/html"]


def test_blank_lines_before_the_magic_count(kernel: BlockingKernelClient, facts_of: dict[str, str]) -> None:
    """IPython drops them before it calls the magic."""
    source = facts_of["chapters/P0118.ipynb"].replace("set-by: M1\n", "set-by: M11\n")
    assert "cell 2, line 6, column 9" in run(kernel, f"\n\n{source}")[0]["data"]["text/plain"]
    assert "cell 2, line 4, column 9" in run(kernel, source)[0]["data"]["text/plain"]


def test_words_behind_the_magic_are_a_finding(kernel: BlockingKernelClient, facts_of: dict[str, str]) -> None:
    source = facts_of["chapters/P0118.ipynb"].replace("%%facts", "%%facts --fast", 1)
    assert "holds more than that word" in run(kernel, source)[0]["data"]["text/plain"]


def test_a_helper_sees_the_facts_that_were_run_last(kernel: BlockingKernelClient, facts_of: dict[str, str]) -> None:
    run(kernel, facts_of["chapters/P0118.ipynb"].replace("cold: {key: on, B5: 20 °C}", "cold: {key: on, B5: 25 °C}"))
    shown = run(kernel, 'readings("M1-A.23", "cold")')[0]["data"]["text/plain"]
    assert float(re.match(r"[\d.]+", shown)[0]) == pytest.approx(5 * 2.05 / (2.49 + 2.05), abs=0.002)  # type: ignore[index]


def test_a_wrong_question_is_answered_in_one_line(kernel: BlockingKernelClient) -> None:
    error = run(kernel, 'readings("M1-A.24")')[0]
    assert error["traceback"] == ["There is no point 'M1-A.24'; did you mean 'M1-A.2'?"]


def test_completion_comes_through_the_kernel(kernel: BlockingKernelClient, facts_of: dict[str, str]) -> None:
    source = facts_of["chapters/P0118.ipynb"].replace("X12.4, ", "x1, ", 1)
    offset = source.index("x1, ") + 2
    reply = kernel.complete(source, offset, reply=True, timeout=SECONDS)["content"]
    assert "X12." in reply["matches"]
    assert source[reply["cursor_start"] : reply["cursor_end"]] == "x1"
    kinds = {each["text"]: each["type"] for each in reply["metadata"]["_jupyter_types_experimental"]}
    assert kinds["X12."] == "in-line"


def test_python_is_not_offered_in_facts_and_facts_not_in_python(
    kernel: BlockingKernelClient, facts_of: dict[str, str]
) -> None:
    source = f"{facts_of['chapters/P0118.ipynb']}\nnonsense:\n  imp"
    assert kernel.complete(source, reply=True, timeout=SECONDS)["content"]["matches"] == []
    assert "readings" in kernel.complete("readi", reply=True, timeout=SECONDS)["content"]["matches"]


def test_help_comes_through_the_kernel(kernel: BlockingKernelClient, facts_of: dict[str, str]) -> None:
    source = facts_of["chapters/P0118.ipynb"]
    reply = kernel.inspect(source, source.index("lamp:") + 2, reply=True, timeout=SECONDS)["content"]
    assert reply["found"]
    assert "Which lamp is on, and when." in reply["data"]["text/plain"]
    own = kernel.inspect("readings", 4, reply=True, timeout=SECONDS)["content"]
    assert "What an instrument reads" in own["data"]["text/plain"]


def test_a_new_chapter_is_made_from_a_line_with_completion(kernel: BlockingKernelClient) -> None:
    assert kernel.complete("%new ther", reply=True, timeout=SECONDS)["content"]["matches"] == ["thermistor"]
    assert "Made: chapters/P0117.ipynb" in run(kernel, "%new thermistor P0117")[0]["data"]["text/plain"]
    assert "did you mean" in run(kernel, "%new thermistr P0116")[0]["text"].lower()


def test_new_alone_shows_what_there_is_where_nothing_can_be_asked(kernel: BlockingKernelClient) -> None:
    asked = kernel.execute("%new", allow_stdin=False)
    while True:
        message = kernel.get_iopub_msg(timeout=SECONDS)
        if message["parent_header"].get("msg_id") == asked and message["msg_type"] == "display_data":
            break
    assert "thermistor" in message["content"]["data"]["text/plain"]


def test_the_page_is_shown_as_it_will_be_printed(kernel: BlockingKernelClient) -> None:
    assert "<iframe" in run(kernel, "%page")[0]["data"]["text/html"]
    assert "There is no chapter 'P0119'" in run(kernel, "%page P0119")[0]["text"]
