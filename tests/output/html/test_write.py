from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from authorkit.manual.blocks import Figure, Heading, Link, Paragraph, words
from authorkit.output.html import write_html
from authorkit.problems import Place
from tests.output.html.reading import Element, read_html
from tests.output.html.samples import chapter, small_manual
from tests.output.sample_manual import sample_manual

BUILD = """
import hashlib, pathlib, sys
from authorkit.output.html import write_html
from tests.output.sample_manual import sample_manual
target = pathlib.Path(sys.argv[1])
assert write_html(sample_manual(), target) == ()
for path in sorted(target.rglob("*")):
    if path.is_file():
        print(path.relative_to(target).as_posix(), hashlib.sha256(path.read_bytes()).hexdigest())
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample manual, written once."""
    target = tmp_path_factory.mktemp("html") / "manual"
    assert write_html(sample_manual(), target) == ()
    return target


@pytest.fixture(scope="module")
def pages(folder: Path) -> dict[str, Element]:
    return {path.name: read_html(path.read_text(encoding="utf-8")) for path in sorted(folder.glob("*.html"))}


def test_every_page_of_the_manual_is_a_file_and_title_and_contents_are_the_start(pages: dict[str, Element]) -> None:
    assert list(pages) == sorted(
        ["index.html", "front.html", "P0117.html", "P0118.html", "P0AA6.html", "codes.html", "page-index.html"]
    )


def test_every_address_in_every_page_leads_somewhere(folder: Path, pages: dict[str, Element]) -> None:
    checked = 0
    for name, page in pages.items():
        for element in page.all():
            for key in ("href", "src", "aria-labelledby", "aria-controls", "for"):
                value = element.attributes.get(key)
                if value is None or value.startswith(("https://", "http://")):
                    continue
                file, _, fragment = (value if key in ("href", "src") else f"#{value}").partition("#")
                assert (folder / (file or name)).is_file(), f"{name}: {value}"
                target = pages.get(file or name)
                if fragment and target:
                    assert list(target.all(id=fragment)), f"{name}: {value}"
                checked += 1
    assert checked > 150


def test_no_id_stands_twice_in_a_page(pages: dict[str, Element]) -> None:
    for name, page in pages.items():
        ids = [element.attributes["id"] for element in page.all() if "id" in element.attributes]
        assert len(set(ids)) == len(ids), name


def test_every_word_of_a_chapter_is_in_its_page(pages: dict[str, Element]) -> None:
    """All texts of the page model, gathered here without the writer's own walk."""
    for page in sample_manual().pages:
        if page.kind == "chapter":
            shown = " ".join(pages[f"{page.anchor}.html"].one("main").text.split())
            for text in texts_in(page.blocks):
                assert " ".join(text.split()) in shown, text


VISIBLE = """
text children caption number columns rows word hazard consequence avoid do measure question answers condition step
verdict repair items cautions
"""


def texts_in(item: object) -> list[str]:
    """Every string of a block's visible fields, found by their names."""
    if isinstance(item, str):
        return [item]
    if isinstance(item, tuple):
        return [text for part in item for text in texts_in(part)]
    fields = getattr(item, "__dataclass_fields__", {})
    return [text for name in fields if name in VISIBLE.split() for text in texts_in(getattr(item, name))]


def test_nothing_asks_for_another_machine(folder: Path) -> None:
    for path in folder.rglob("*"):
        if path.suffix in (".html", ".css", ".js"):
            text = path.read_text(encoding="utf-8")
            assert (
                re.findall(r"""(?:src|url|@import|fetch|XMLHttpRequest)\W{1,3}(?:https?:)?//[^"')]*""", text) == []
            ), path.name


def test_the_scripts_never_read_text_as_code_or_as_markup(folder: Path) -> None:
    for path in folder.glob("assets/*.js"):
        script = path.read_text(encoding="utf-8")
        for word in (
            "eval",
            "Function(",
            "innerHTML",
            "outerHTML",
            "insertAdjacentHTML",
            "document.write",
            "setTimeout",
        ):
            assert word not in script, f"{path.name}: {word}"


def test_the_fonts_come_with_their_licence(folder: Path) -> None:
    names = {path.name for path in (folder / "assets" / "fonts").iterdir()}
    assert "LICENCE.txt" in names
    assert "LiberationSans-Regular.ttf" in names


def test_the_same_manual_gives_the_same_bytes_whatever_the_hash_seed(tmp_path: Path, repo_root: Path) -> None:
    outputs = [
        subprocess.run(
            [sys.executable, "-c", BUILD, str(tmp_path / seed)],
            cwd=repo_root,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert outputs[0] == outputs[1]
    assert outputs[0].count("\n") > 15


def test_what_had_to_be_left_out_is_reported_and_the_rest_is_written(tmp_path: Path) -> None:
    bad = b'<svg xmlns="http://www.w3.org/2000/svg"><script/><text>kept</text></svg>'
    page = chapter(
        "P0118", Paragraph((Link("gone", words("see")),)), Figure("c", bad, "svg", "a", 9, 9), Heading(2, "h", "P0118")
    )
    problems = write_html(small_manual(page), tmp_path / "manual")
    assert sorted(problem.rule for problem in problems) == ["anchor-twice", "link-dangling", "page-refused"]
    assert {problem.place.file for problem in problems} == {"chapters/P0118.ipynb"}
    assert "kept" in (tmp_path / "manual" / "P0118.html").read_text(encoding="utf-8")


def test_a_folder_of_somebody_elses_is_not_touched_and_named(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "a.jpg").touch()
    (problem,) = write_html(sample_manual(), tmp_path / "photos")
    assert (problem.rule, problem.place) == ("page-refused", Place("photos"))
    assert "'photos'" in problem.message
    assert [path.name for path in (tmp_path / "photos").iterdir()] == ["a.jpg"]


def test_an_empty_manual_is_a_start_page(tmp_path: Path) -> None:
    assert write_html(small_manual(), tmp_path / "manual") == ()
    assert [path.name for path in (tmp_path / "manual").glob("*.html")] == ["index.html"]


def test_a_new_edition_takes_the_place_of_the_old(tmp_path: Path) -> None:
    manual = sample_manual()
    write_html(manual, tmp_path / "manual")
    without = tuple(page for page in manual.pages if page.anchor != "P0117")
    problems = write_html(replace(manual, pages=without), tmp_path / "manual")
    assert {problem.found for problem in problems} == {"P0117"}
    assert not (tmp_path / "manual" / "P0117.html").exists()


@pytest.mark.slow
def test_the_pages_are_valid_by_the_nu_html_checker(
    folder: Path, require_tool: Callable[[str], str], require_node_file: Callable[[str], Path]
) -> None:
    """The W3C's checker, all pages in one call. It holds that 'self' and file: match no file on disk; browsers do."""
    jar = require_node_file("vnu-jar/build/dist/vnu.jar")
    command = [require_tool("java"), "-jar", str(jar), "--format", "json", *map(str, sorted(folder.glob("*.html")))]
    result = subprocess.run(command, capture_output=True, text=True, check=False)
    messages = json.loads(result.stderr)["messages"]
    found = [message for message in messages if not message["message"].startswith("Resource violates Content Security")]
    assert found == []
    assert result.returncode == 0


@pytest.mark.slow
def test_the_checker_sees_a_page_that_is_not_valid(
    folder: Path, tmp_path: Path, require_tool: Callable[[str], str], require_node_file: Callable[[str], Path]
) -> None:
    page = (folder / "P0118.html").read_text(encoding="utf-8").replace("<main", "<main><p><ul></p", 1)
    (tmp_path / "bad.html").write_text(page, encoding="utf-8")
    jar = require_node_file("vnu-jar/build/dist/vnu.jar")
    command = [require_tool("java"), "-jar", str(jar), "--errors-only", str(tmp_path / "bad.html")]
    assert subprocess.run(command, capture_output=True, check=False).returncode == 1
