"""JupyterLab on a manual's folder, with the desk's kernel and settings beside the author's own.

Nothing is installed or changed for it: the kernel and the settings are files of this package, which Jupyter is pointed
to by its environment. The kernel keeps the name `python3`, so that notebooks stay the same whatever opens them.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Mapping
from importlib.util import find_spec
from pathlib import Path

# Set in the kernel's environment where only the kernel completes: words may then be offered whatever their case.
LOOSELY = "AUTHORKIT_COMPLETES_ALONE"

_FILES = Path(__file__).parent / "jupyter"
_CHECKOUT = Path(__file__).parents[2]


class NoLabError(Exception):
    """JupyterLab is not installed; the message names the command that installs it."""


def lab_command(folder: Path, chapter: str = "", *, browser: bool = True, port: int | None = None) -> list[str]:
    """The command that opens JupyterLab on `folder`, at a notebook if `chapter` names its file. Raises NoLabError."""
    missing = [name for name in ("jupyterlab", "ipykernel") if find_spec(name) is None]
    if missing:
        raise NoLabError(f"{' and '.join(missing)} is not installed; to install it: {_how_to_install()}")
    start = f"/lab/tree/{chapter}" if chapter else "/lab/tree/chapters"
    command = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={folder}", f"--LabApp.default_url={start}"]
    command.append("--LabApp.extension_manager=readonly")  # no list of extensions is fetched from outside
    if not browser:
        command.append("--no-browser")
    if port is not None:
        command.append(f"--port={port}")
    if hasattr(os, "geteuid") and os.geteuid() == 0:  # in a container; elsewhere Jupyter advises against it
        command.append("--allow-root")
    return command


def lab_environment(environment: Mapping[str, str]) -> dict[str, str]:
    """The environment in which Jupyter finds the desk's kernel and settings before any others."""
    return {
        **environment,
        LOOSELY: "1",
        "JUPYTER_PATH": _before(_FILES, environment.get("JUPYTER_PATH")),
        "JUPYTER_CONFIG_PATH": _before(_FILES / "config", environment.get("JUPYTER_CONFIG_PATH")),
    }


def settings_folder(environment: Mapping[str, str]) -> Path:
    """The author's settings of JupyterLab as the desk has them: a copy made once, with completion by the kernel alone.

    JupyterLab takes its list of completers from this folder only. Left to itself it adds the words of the cell, and
    where both answer it replaces no more than the last word, so that 'm1-a.2' would become 'm1-a.M1-A.23'.
    Raises OSError if the folder cannot be made.
    """
    lab = Path(environment.get("JUPYTER_CONFIG_DIR") or Path.home() / ".jupyter") / "lab"
    own, desk = Path(environment.get("JUPYTERLAB_SETTINGS_DIR") or lab / "user-settings"), lab / "authorkit-desk"
    if not desk.is_dir() and own.is_dir():
        shutil.copytree(own, desk)
    completers = desk / "@jupyterlab" / "completer-extension" / "manager.jupyterlab-settings"
    if not completers.is_file():
        completers.parent.mkdir(parents=True, exist_ok=True)
        completers.write_text(json.dumps({"availableProviders": {"CompletionProvider:kernel": 550}}), encoding="utf-8")
    return desk


def _before(path: Path, others: str | None) -> str:
    return os.pathsep.join([str(path), *([others] if others else [])])


def _how_to_install() -> str:
    setup = _CHECKOUT / "build" / "setup"
    return f"{setup} desk" if setup.is_file() else f"{sys.executable} -m pip install 'authorkit[desk]'"
