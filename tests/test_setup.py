"""Setting up: the scripts, the pinned lists, and what the command line may load before it knows its task."""

from __future__ import annotations

import os
import re
import shutil
import signal
import stat
import subprocess
import sys
import time
import tomllib
import zipfile
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

SCRIPTS = ["build/setup", "build/manual", "build/relock", "tests/run", "tests/tools/install", ".ci/run"]
LOCKS = ["book", "test", "desk"]

# Loading these takes 0.1 to 3 s each; asking for help, or for a rule's explanation, needs none of them.
SLOW_LIBRARIES = {
    "IPython",
    "jsonschema",
    "matplotlib",
    "nbconvert",
    "nbformat",
    "pydantic",
    "schemdraw",
    "typst",
}


# Scripts


@pytest.mark.parametrize("script", SCRIPTS)
def test_script_is_executable_and_parses(repo_root: Path, script: str) -> None:
    path = repo_root / script
    assert path.stat().st_mode & stat.S_IXUSR
    assert path.read_text(encoding="utf-8").startswith("#!/bin/sh\n")
    subprocess.run(["sh", "-n", str(path)], check=True)


# Pinned lists


@pytest.fixture(scope="session")
def project(repo_root: Path) -> dict[str, Any]:
    return tomllib.loads((repo_root / "pyproject.toml").read_text(encoding="utf-8"))


def lock_text(repo_root: Path, task: str) -> str:
    return (repo_root / "build" / "lock" / f"{task}.txt").read_text(encoding="utf-8")


def pins(repo_root: Path, task: str) -> list[Requirement]:
    """The requirements of one list, without their hashes."""
    entries = re.findall(r"^([^\s#][^\\\n]*)", lock_text(repo_root, task), re.MULTILINE)
    return [Requirement(entry.strip()) for entry in entries]


def wanted(project: dict[str, Any], task: str) -> list[Requirement]:
    """What pyproject.toml asks for in a task, with what installs the project itself."""
    extra = [] if task == "book" else project["project"]["optional-dependencies"][task]
    own = project["dependency-groups"]["installer"]
    return [Requirement(text) for text in [*project["project"]["dependencies"], *extra, *own]]


@pytest.mark.parametrize("task", LOCKS)
def test_lock_pins_every_dependency_of_its_task(repo_root: Path, project: dict[str, Any], task: str) -> None:
    pinned = {canonicalize_name(pin.name): pin for pin in pins(repo_root, task)}
    for requirement in wanted(project, task):
        pin = pinned[canonicalize_name(requirement.name)]
        (version,) = [clause.version for clause in pin.specifier]
        assert requirement.specifier.contains(version, prereleases=True), f"{requirement}: {version}"


@pytest.mark.parametrize("task", LOCKS)
def test_lock_holds_exact_versions_with_hashes_and_no_address(repo_root: Path, task: str) -> None:
    text = lock_text(repo_root, task)
    specifiers = [str(pin.specifier) for pin in pins(repo_root, task)]
    assert [text for text in specifiers if not re.fullmatch(r"==[\w.!+]+", text)] == []
    assert "://" not in text
    assert "--index" not in text
    entries = re.split(r"\n(?! )", text.strip())
    assert [entry for entry in entries if "--hash=sha256:" not in entry] == []


def test_tasks_share_one_environment_without_contradiction(repo_root: Path) -> None:
    """Each version is the same wherever a package is listed, and book is part of the other two."""
    book, test, desk = ({(pin.name, str(pin.specifier)) for pin in pins(repo_root, task)} for task in LOCKS)
    assert book <= test
    assert book <= desk
    shared = {name for name, _ in test} & {name for name, _ in desk}
    assert {pin for pin in test if pin[0] in shared} == {pin for pin in desk if pin[0] in shared}


def test_the_customers_packages_are_all_named(project: dict[str, Any]) -> None:
    """The list fixed in the order for this toolkit."""
    extras = [text for texts in project["project"]["optional-dependencies"].values() for text in texts]
    texts = [*project["project"]["dependencies"], *extras]
    named = {canonicalize_name(Requirement(text).name) for text in texts}
    assert {"jupyter", "nbformat", "nbconvert", "matplotlib", "schemdraw", "pyyaml", "pytest"} <= named


def test_node_lock_names_no_download_address(repo_root: Path) -> None:
    text = (repo_root / "tests" / "tools" / "package-lock.json").read_text(encoding="utf-8")
    assert "resolved" not in text
    assert text.count('"integrity": "sha512-') == 2


# build/setup, with a stand-in for the installer so that no network is needed

FAKE_UV = """#!/bin/sh
echo "start $*" >>"$UV_LOG"
if [ -n "${UV_SLEEP-}" ]; then sleep "$UV_SLEEP"; fi
if [ -n "${UV_FAIL-}" ]; then exit 2; fi
echo end >>"$UV_LOG"
"""


class Checkout:
    """A copy of what build/setup works on, at a path with a space in it."""

    def __init__(self, repo_root: Path, folder: Path) -> None:
        self.root = folder / "a checkout"
        self.bin = folder / "bin"
        self.log = folder / "uv.log"
        (self.root / "build").mkdir(parents=True)
        self.bin.mkdir()
        shutil.copy(repo_root / "pyproject.toml", self.root)
        for name in ("setup", "locked", "manual"):
            shutil.copy(repo_root / "build" / name, self.root / "build")
        shutil.copytree(repo_root / "build" / "lock", self.root / "build" / "lock")
        self.add_program("uv", FAKE_UV)
        self.add_program("python3", f'#!/bin/sh\nexec "{os.path.realpath(sys.executable)}" "$@"\n')

    def add_program(self, name: str, text: str) -> None:
        (self.bin / name).write_text(text)
        (self.bin / name).chmod(0o755)

    def start(self, *arguments: str, script: str = "setup", **environment: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [str(self.root / "build" / script), *arguments],
            cwd="/",
            env={"PATH": f"{self.bin}:/usr/bin:/bin", "UV_LOG": str(self.log), **environment},
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )

    def run(self, *arguments: str, script: str = "setup", **environment: str) -> tuple[int, str]:
        """Exit code and everything printed."""
        process = self.start(*arguments, script=script, **environment)
        out, err = process.communicate(timeout=60)
        return process.returncode, out + err

    def take_log(self) -> list[str]:
        """The installer's log since the last call."""
        lines = self.log.read_text().splitlines() if self.log.exists() else []
        self.log.unlink(missing_ok=True)
        return lines

    @property
    def site_packages(self) -> Path:
        (folder,) = (self.root / ".venv" / "lib").glob("python3*/site-packages")
        return folder


@pytest.fixture
def checkout(repo_root: Path, tmp_path: Path) -> Checkout:
    return Checkout(repo_root, tmp_path)


def test_a_first_setup_installs_the_list_then_the_project_and_a_second_does_nothing(
    checkout: Checkout,
) -> None:
    code, _ = checkout.run()
    listed, _, project, _ = checkout.take_log()
    assert code == 0
    assert "--require-hashes --requirement build/lock/book.txt" in listed
    assert "--no-deps --no-build-isolation --editable ." in project
    assert (checkout.root / ".venv" / "bin" / "python").exists()
    assert checkout.run() == (0, "")
    assert checkout.take_log() == []


def test_the_test_setup_covers_building_the_book_but_not_the_other_way_round(checkout: Checkout) -> None:
    checkout.run("test")
    checkout.take_log()
    assert checkout.run("book") == (0, "")
    code, _ = checkout.run("desk")
    assert code == 0
    assert "build/lock/desk.txt" in checkout.take_log()[0]


@pytest.mark.parametrize("file", ["build/lock/book.txt", "pyproject.toml"])
def test_a_changed_list_is_installed_into_the_same_environment(checkout: Checkout, file: str) -> None:
    checkout.run()
    checkout.take_log()
    (checkout.site_packages / "kept.py").touch()
    with (checkout.root / file).open("a") as text:
        text.write("\n# changed\n")
    assert checkout.run()[0] == 0
    assert len(checkout.take_log()) == 4
    assert (checkout.site_packages / "kept.py").exists()


def test_a_failed_installation_says_so_and_the_next_call_goes_on(checkout: Checkout) -> None:
    code, printed = checkout.run(UV_FAIL="1")
    assert code == 1
    assert "the installation failed" in printed
    assert checkout.run()[0] == 0
    assert checkout.run() == (0, "")


def test_a_failed_update_leaves_the_good_environment_alone(checkout: Checkout) -> None:
    checkout.run()
    (checkout.site_packages / "kept.py").touch()
    lock = checkout.root / "build" / "lock" / "book.txt"
    good = lock.read_text()
    lock.write_text(good + "\n# changed\n")
    assert checkout.run(UV_FAIL="1")[0] == 1
    lock.write_text(good)
    checkout.take_log()
    assert checkout.run() == (0, "")
    assert (checkout.site_packages / "kept.py").exists()


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_a_setup_broken_off_is_started_afresh_by_the_next_call(checkout: Checkout, how: signal.Signals) -> None:
    process = checkout.start(UV_SLEEP="30")
    wait_for_line(checkout.log)
    (checkout.site_packages / "half_installed.py").touch()
    os.killpg(process.pid, how)
    process.communicate(timeout=10)
    assert process.returncode != 0
    checkout.take_log()
    code, printed = checkout.run()
    assert code == 0
    assert "starting it afresh" in printed
    assert not (checkout.site_packages / "half_installed.py").exists()
    assert checkout.run() == (0, "")


def test_two_setups_at_once_take_turns_and_install_once(checkout: Checkout) -> None:
    both = [checkout.start(UV_SLEEP="0.5") for _ in range(2)]
    results = [(*process.communicate(timeout=60), process.returncode) for process in both]
    assert [code for *_, code in results] == [0, 0]
    assert [line.split()[0] for line in checkout.take_log()] == ["start", "end", "start", "end"]
    assert "another set-up is running" in "".join(err for _, err, _ in results)


def test_a_checkout_that_was_moved_gets_a_new_environment(checkout: Checkout) -> None:
    """The programs in .venv/bin name the folder they were made in."""
    checkout.run()
    (checkout.site_packages / "old.py").touch()
    checkout.root = checkout.root.rename(checkout.root.with_name("moved"))
    code, printed = checkout.run()
    assert code == 0
    assert "starting it afresh" in printed
    assert not (checkout.site_packages / "old.py").exists()


def test_an_environment_made_by_hand_is_completed_not_thrown_away(checkout: Checkout) -> None:
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(checkout.root / ".venv")], check=True)
    (checkout.site_packages / "kept.py").touch()
    assert checkout.run()[0] == 0
    assert (checkout.site_packages / "kept.py").exists()


def test_too_old_a_python_is_named_with_what_is_needed(checkout: Checkout) -> None:
    for name in ("python3", "python3.11", "python3.12", "python3.13", "python3.14"):
        checkout.add_program(name, '#!/bin/sh\nif [ "$1" = -V ]; then echo Python 3.9.2; else exit 1; fi\n')
    code, printed = checkout.run()
    assert code != 0
    assert "Python 3.11 or newer is needed" in printed
    assert "Python 3.9.2" in printed
    assert not (checkout.root / ".venv").exists()


def test_an_unknown_task_is_refused_with_the_known_ones(checkout: Checkout) -> None:
    code, printed = checkout.run("everything")
    assert code == 2
    assert printed == "authorkit: build/setup knows book, test and desk, not 'everything'\n"


def test_building_the_manual_sets_up_then_builds_this_checkout_from_any_folder(checkout: Checkout) -> None:
    checkout.run()
    program = checkout.root / ".venv" / "bin" / "authorkit"
    program.write_text('#!/bin/sh\nprintf "[%s]" "$@"\nexit 7\n')
    program.chmod(0o755)
    code, printed = checkout.run("--series", "Series B", script="manual")
    assert printed == f"[build][--manual][{checkout.root}][--series][Series B]"
    assert code == 7
    (checkout.root / "pyproject.toml").write_text("# changed\n")
    assert "setting up .venv for 'book'" in checkout.run(script="manual")[1]


def wait_for_line(file: Path) -> None:
    """Until the file has something in it, at most 20 s."""
    for _ in range(400):
        if file.exists() and file.read_text():
            return
        time.sleep(0.05)
    pytest.fail(f"nothing was written to {file.name}")


# The package


def test_the_wheel_holds_every_file_of_the_package(repo_root: Path, tmp_path: Path) -> None:
    """Fonts, templates and style sheets are easily left out, and are missed only where it is installed."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "authorkit"],
        cwd=repo_root,
        capture_output=True,
        text=True,
        check=True,
    )
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)],
        cwd=repo_root,
        capture_output=True,
        check=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if name.startswith("authorkit/")}
    assert packed == {name for name in listed.stdout.splitlines() if (repo_root / name).is_file()}


def test_help_is_shown_without_loading_slow_libraries(repo_root: Path) -> None:
    result = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "authorkit", "--help"],
        cwd=repo_root,
        capture_output=True,
        text=True,
        check=False,
    )
    imports = [line for line in result.stderr.splitlines() if line.startswith("import time:")]
    said = [line for line in result.stderr.splitlines() if line not in imports]
    assert (result.returncode, said) == (0, [])
    loaded = {line.rpartition("|")[2].strip().partition(".")[0] for line in imports}
    assert "argparse" in loaded or "click" in loaded, "the list of imports could not be read"
    assert sorted(loaded & SLOW_LIBRARIES) == []
