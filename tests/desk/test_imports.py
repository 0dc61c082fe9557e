"""What is slow to load is loaded by those who need it, and by nobody else."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

JUPYTER = ("IPython", "ipykernel", "jupyter_client", "jupyterlab", "nbformat", "nbconvert", "nbclient", "jsonschema")


def loaded_by(code: str, folder: Path) -> set[str]:
    """The top-level modules that a fresh Python has loaded after some lines."""
    program = f"{code}\nimport sys; print('|'.join(sorted({{name.split('.')[0] for name in sys.modules}})))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=folder)
    return set(done.stdout.splitlines()[-1].split("|"))


def test_no_command_loads_jupyter(repo_root: Path) -> None:
    code = (
        "from importlib import import_module\n"
        "from authorkit.commands import COMMANDS\n"
        "for module, _ in COMMANDS.values(): import_module(f'authorkit.commands.{module}')"
    )
    assert loaded_by(code, repo_root) & set(JUPYTER) == set()


def test_the_list_of_commands_needs_nothing_but_python(repo_root: Path) -> None:
    code = "from authorkit.commands import main\ntry: main(['--help'])\nexcept SystemExit: pass"
    assert loaded_by(code, repo_root) & {"numpy", "yaml", "schemdraw", *JUPYTER} == set()


@pytest.mark.parametrize("code", ["import authorkit.desk.magic", "from authorkit.desk import readings, capture"])
def test_the_extension_itself_loads_at_once(repo_root: Path, code: str) -> None:
    assert loaded_by(code, repo_root) & {"numpy", "yaml", "schemdraw", *JUPYTER} == set()
