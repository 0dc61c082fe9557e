"""JupyterLab on a manual's folder, with the desk's kernel and settings beside the author's own.

Nothing is installed or changed for it: the kernel and the settings are files of this package, which Jupyter is pointed
to by its environment. The kernel keeps the name `python3`, so that notebooks stay the same whatever opens them.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from importlib.util import find_spec
from pathlib import Path

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
        "JUPYTER_PATH": _before(_FILES, environment.get("JUPYTER_PATH")),
        "JUPYTER_CONFIG_PATH": _before(_FILES / "config", environment.get("JUPYTER_CONFIG_PATH")),
    }


def _before(path: Path, others: str | None) -> str:
    return os.pathsep.join([str(path), *([others] if others else [])])


def _how_to_install() -> str:
    setup = _CHECKOUT / "build" / "setup"
    return f"{setup} desk" if setup.is_file() else f"{sys.executable} -m pip install 'authorkit[desk]'"
