"""The author's desk: facts cells that show what they come to, completion and help, in JupyterLab or plain Jupyter.

`%load_ext authorkit.desk` in a notebook, or the kernel that `authorkit desk` sets up, which loads it by itself.
"""

from __future__ import annotations

from typing import Any


def load_ipython_extension(shell: Any) -> None:
    """IPython's hook: register the magics, completion and help, and give the notebook the helpers."""
    from authorkit.desk.magic import register

    register(shell)
