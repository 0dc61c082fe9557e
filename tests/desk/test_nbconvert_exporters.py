"""`jupyter nbconvert --to authorkit`: the page and the slides by Jupyter's own converter."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from nbconvert.exporters import get_exporter
from nbconvert.utils.exceptions import ConversionException

from authorkit.desk.page_view import view_saved
from tests.desk.manuals import edit, small_manual
from tests.output.html.reading import read_html

pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")


def converted(name: str, path: Path) -> tuple[str, str]:
    text, resources = get_exporter(name)().from_filename(str(path))
    return text, resources["output_extension"]


def test_the_page_is_the_one_that_a_notebook_shows(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    text, extension = converted("authorkit", folder / "chapters" / "P0118.ipynb")
    assert extension == ".html"
    frame = read_html(view_saved("P0118", folder).markup).one("iframe")
    assert text == frame.attributes["srcdoc"]


def test_slides_have_an_extension_of_their_own(tmp_path: Path) -> None:
    text, extension = converted("authorkit-slides", small_manual(tmp_path) / "chapters" / "P0118.ipynb")
    assert extension == ".slides.html"
    assert sum(1 for _ in read_html(text).all("section")) > 5


def test_a_chapter_with_errors_is_refused_with_its_findings(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    edit(folder, "P0118", "set-by: M1", "set-by: M99")
    with pytest.raises(ConversionException) as told:
        converted("authorkit", folder / "chapters" / "P0118.ipynb")
    assert "no file was made" in str(told.value)
    assert "[module-unknown]" in str(told.value)
    assert "| set-by: M99" in str(told.value)


def test_a_notebook_that_is_nowhere_on_disk_is_refused() -> None:
    with pytest.raises(ConversionException, match="is not a saved notebook of a manual"):
        get_exporter("authorkit")().from_notebook_node(nbformat.v4.new_notebook())


@pytest.mark.slow
def test_the_program_makes_a_file_or_says_in_a_sentence_why_not(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)

    command = [sys.executable, "-m", "nbconvert", "--to", "authorkit", "P0118.ipynb", "vehicle.ipynb"]
    run = subprocess.run(command, cwd=folder / "chapters", capture_output=True, text=True, check=False)
    assert "<title>P0118 " in (folder / "chapters" / "P0118.html").read_text(encoding="utf-8")
    assert run.returncode == 1
    assert "The notebook 'chapters/vehicle.ipynb' is no chapter of the manual." in run.stderr
    assert "Traceback" not in run.stderr
