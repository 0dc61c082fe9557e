"""How JupyterLab is started: with the desk's kernel and settings first, the author's own beside them."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path

import pytest

from authorkit.commands import COULD_NOT_RUN, main
from authorkit.desk import lab


def test_the_command_opens_the_manual_at_a_chapter(tmp_path: Path) -> None:
    command = lab.lab_command(tmp_path, "chapters/P0118.ipynb", browser=False, port=9999)
    assert command[:3] == [sys.executable, "-m", "jupyterlab"]
    assert {f"--ServerApp.root_dir={tmp_path}", "--no-browser", "--port=9999"} <= set(command)
    assert "--LabApp.default_url=/lab/tree/chapters/P0118.ipynb" in command


def test_the_kernel_that_jupyter_finds_first_is_the_desks(monkeypatch: pytest.MonkeyPatch) -> None:
    from jupyter_client.kernelspec import KernelSpecManager

    monkeypatch.setenv("JUPYTER_PATH", lab.lab_environment(os.environ)["JUPYTER_PATH"])
    assert "--ext=authorkit.desk" in KernelSpecManager().get_kernel_spec("python3").argv


def test_the_authors_own_folders_stay_in_reach() -> None:
    found = lab.lab_environment({"JUPYTER_PATH": "/mine", "PATH": "/bin"})
    assert found["JUPYTER_PATH"].split(os.pathsep)[1:] == ["/mine"]
    assert found["PATH"] == "/bin"


def test_the_desk_completes_with_the_kernel_alone_and_keeps_what_the_author_has_set(tmp_path: Path) -> None:
    own = tmp_path / "lab" / "user-settings" / "theme.jupyterlab-settings"
    own.parent.mkdir(parents=True)
    own.write_text("{}", encoding="utf-8")
    found = lab.settings_folder({"JUPYTER_CONFIG_DIR": str(tmp_path)})
    completers = found / "@jupyterlab" / "completer-extension" / "manager.jupyterlab-settings"
    assert json.loads(completers.read_text(encoding="utf-8")) == {
        "availableProviders": {"CompletionProvider:kernel": 550}
    }
    assert (found / own.name).is_file()
    assert [path.name for path in own.parent.iterdir()] == [own.name]
    completers.write_text('{"autoCompletion": true}', encoding="utf-8")
    assert lab.settings_folder({"JUPYTER_CONFIG_DIR": str(tmp_path)}) == found
    assert "autoCompletion" in completers.read_text(encoding="utf-8")


def test_the_settings_are_read_by_jupyterlab(monkeypatch: pytest.MonkeyPatch) -> None:
    from jupyterlab_server.config import ConfigManager

    monkeypatch.setenv("JUPYTER_CONFIG_PATH", lab.lab_environment({})["JUPYTER_CONFIG_PATH"])
    settings = ConfigManager(config_dir_name="labconfig").get("default_setting_overrides")
    assert settings["@jupyterlab/notebook-extension:tracker"]["codeCellConfig"]["lineNumbers"] is True


def test_a_missing_jupyterlab_is_told_with_the_command_that_installs_it(
    manual: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(lab, "find_spec", lambda name: None if name == "jupyterlab" else object())
    assert main(["desk", str(manual)]) == COULD_NOT_RUN
    said = capsys.readouterr().err
    assert "jupyterlab is not installed; to install it: " in said
    assert "build/setup desk" in said


def test_a_folder_without_a_manual_and_an_unknown_chapter_are_told(
    manual: Path, tmp_path_factory: pytest.TempPathFactory, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["desk", str(tmp_path_factory.mktemp("empty"))]) == COULD_NOT_RUN
    assert "no manual here" in capsys.readouterr().err
    assert main(["desk", str(manual), "--chapter", "P0481"]) == COULD_NOT_RUN
    assert "there is no chapter 'P0481'; did you mean 'P0480'?" in capsys.readouterr().err


def test_the_command_becomes_jupyterlab(
    manual: Path, monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    monkeypatch.setenv("JUPYTER_CONFIG_DIR", str(tmp_path_factory.mktemp("config")))
    became: list[tuple[list[str], dict[str, str]]] = []
    monkeypatch.setattr(os, "execve", lambda _, command, environment: became.append((command, environment)))
    main(["desk", str(manual), "--chapter", "P0118"])
    assert "--LabApp.default_url=/lab/tree/chapters/P0118.ipynb" in became[0][0]
    assert {"JUPYTER_PATH", "JUPYTERLAB_SETTINGS_DIR"} <= became[0][1].keys()


def test_the_kernel_keeps_the_name_that_notebooks_carry(repo_root: Path) -> None:
    """So that opening a notebook on the desk changes nothing in it."""
    spec = json.loads((Path(lab.__file__).parent / "jupyter/kernels/python3/kernel.json").read_text(encoding="utf-8"))
    notebook = json.loads((repo_root / "chapters" / "P0118.ipynb").read_text(encoding="utf-8"))
    assert notebook["metadata"]["kernelspec"]["name"] == "python3"
    assert notebook["metadata"]["kernelspec"]["display_name"] == spec["display_name"]
