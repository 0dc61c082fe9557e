"""Watching a manual: what counts as a change, what is handed out, and to whom."""

from __future__ import annotations

import http.client
import json
import shutil
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from authorkit.commands import watch
from authorkit.desk.book_state import BookState
from authorkit.desk.watch.changes import changes
from authorkit.desk.watch.server import HOST, live_page, serve
from authorkit.desk.watch.shelf import Shelf
from tests.desk.manuals import edit, small_manual

PAGE = (
    '<!DOCTYPE html><html><head><meta http-equiv="Content-Security-Policy" '
    "content=\"default-src 'none'; script-src 'self'\"></head><body>one</body></html>"
)


# ----------------------------------------------------------------------------------------------------------- changes


class Told:
    """Collects what is told of a folder, in a thread of its own."""

    def __init__(self, folder: Path) -> None:
        self.stop = threading.Event()
        self.all: list[tuple[str, ...]] = []
        self.thread = threading.Thread(target=self._collect, args=(folder,))
        self.thread.start()
        time.sleep(0.5)  # until the watch stands

    def _collect(self, folder: Path) -> None:
        for changed in changes(folder, self.stop):
            self.all.append(changed)

    def wait_for(self, *changed: str) -> None:
        """Until this, and nothing else, is told."""
        end = time.monotonic() + 20
        while sum(self.all, ()) != changed and time.monotonic() < end:
            time.sleep(0.05)
        assert sum(self.all, ()) == changed
        self.all.clear()

    def end(self) -> None:
        self.stop.set()
        self.thread.join()


@pytest.fixture
def manual(tmp_path: Path) -> Path:
    return small_manual(tmp_path)


@pytest.fixture
def told(manual: Path) -> Iterator[Told]:
    told = Told(manual)
    yield told
    told.end()


def test_an_edit_is_told_and_stored_outputs_hidden_files_and_what_is_built_are_not(manual: Path, told: Told) -> None:
    chapter = manual / "chapters" / "P0118.ipynb"
    notebook = json.loads(chapter.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            cell |= {"execution_count": 5, "outputs": [{"output_type": "stream", "name": "stdout", "text": "5"}]}
    chapter.write_text(json.dumps(notebook), encoding="utf-8")
    checkpoint = manual / "chapters" / ".ipynb_checkpoints" / "P0118-checkpoint.ipynb"
    checkpoint.parent.mkdir()
    shutil.copy(chapter, checkpoint)
    (manual / "build" / "out").mkdir()
    (manual / "build" / "out" / "a.html").write_text("built", encoding="utf-8")
    (manual / "chapters" / "notes.txt").write_text("notes", encoding="utf-8")
    time.sleep(0.6)
    edit(manual, "P0118", "trips: 2", "trips: 3")
    told.wait_for("chapters/P0118.ipynb")


def test_a_file_saved_under_another_name_and_renamed_is_told(manual: Path, told: Told) -> None:
    recipe = manual / "build" / "manual.yaml"
    aside = recipe.with_name("manual.yaml.new")
    aside.write_text(recipe.read_text(encoding="utf-8") + "# more\n", encoding="utf-8")
    aside.replace(recipe)
    told.wait_for("build/manual.yaml")


def test_a_figure_that_comes_and_goes_is_told(manual: Path, told: Told) -> None:
    figure = manual / "figures" / "below" / "a.csv"
    figure.parent.mkdir()
    figure.write_text("t,v\n", encoding="utf-8")
    told.wait_for("figures/below/a.csv")
    figure.unlink()
    told.wait_for("figures/below/a.csv")


def test_a_folder_put_in_the_place_of_another_is_watched_again(manual: Path, told: Told) -> None:
    chapters = manual / "chapters"
    shutil.copytree(chapters, manual / "other")
    chapters.rename(manual / "old")
    (manual / "other").rename(chapters)
    time.sleep(2.5)
    edit(manual, "P0118", "trips: 2", "trips: 3")
    told.wait_for("chapters/P0118.ipynb")


# ------------------------------------------------------------------------------------------------------------ server


@pytest.fixture
def shelf() -> Shelf:
    shelf = Shelf()
    shelf.put({"index.html": PAGE.encode(), "assets/style.css": b"p{}"}, "")
    return shelf


@pytest.fixture
def port(shelf: Shelf) -> Iterator[int]:
    server = serve(shelf, 0)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield server.server_port
    shelf.close()
    server.shutdown()
    server.server_close()
    thread.join()


def asked(port: int, path: str, host: str = "", method: str = "GET") -> tuple[int, str, str]:
    """Status, media type and body of an answer."""
    connection = http.client.HTTPConnection(HOST, port, timeout=10)
    connection.request(method, path, headers={"Host": host or f"{HOST}:{port}"})
    answer = connection.getresponse()
    body = answer.read().decode()
    connection.close()
    return answer.status, answer.headers["Content-Type"], body


def test_a_page_is_handed_out_with_the_script_and_may_listen(port: int) -> None:
    for path in ("/", "/index.html", "/index.html?x=1"):
        status, kind, body = asked(port, path)
        assert (status, kind) == (200, "text/html; charset=utf-8")
        assert '<script src="/-/live.js" data-events="/-/events?page=index.html&amp;stamp=' in body
        assert "default-src 'none'; connect-src 'self'; script-src 'self'" in body
    assert asked(port, "/assets/style.css") == (200, "text/css; charset=utf-8", "p{}")
    assert "EventSource" in asked(port, "/-/live.js")[2]


def test_a_page_that_is_not_there_is_awaited(port: int) -> None:
    status, _, body = asked(port, "/P0118%3Cb%3E.html")
    assert status == 404
    assert "P0118&lt;b&gt;.html" in body
    assert "live.js" in body


@pytest.mark.parametrize(
    "path", ["/../pyproject.toml", "/%2e%2e/pyproject.toml", "//etc/passwd", "/chapters/P0118.ipynb"]
)
def test_nothing_but_the_manual_is_handed_out(port: int, path: str) -> None:
    assert asked(port, path)[0] == 404


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1", "example.org:80"])
def test_only_its_own_address_is_answered(port: int, host: str) -> None:
    status, _, body = asked(port, "/", host)
    assert status == 421
    assert "one" not in body
    assert asked(port, "/", f"localhost:{port}")[0] == 200


def test_asking_for_the_head_gives_no_body(port: int) -> None:
    assert asked(port, "/", method="HEAD")[::2] == (200, "")


def test_news_come_at_once_and_with_each_build(port: int, shelf: Shelf) -> None:
    connection = http.client.HTTPConnection(HOST, port, timeout=10)
    stamp = shelf.stamp("index.html")
    connection.request("GET", f"/-/events?page=index.html&stamp={stamp}")
    answer = connection.getresponse()

    def news() -> dict[str, object]:
        line = answer.readline().decode()
        assert answer.readline() == b"\n"
        return json.loads(line.removeprefix("data: "))

    assert news() == {"reload": False, "problems": ""}
    shelf.put(None, "1 error.")
    assert news() == {"reload": False, "problems": "1 error."}
    shelf.put({"index.html": PAGE.replace("one", "two").encode()}, "")
    assert news() == {"reload": True, "problems": ""}
    connection.close()


def test_a_page_is_outdated_when_its_looks_change_and_not_when_another_page_does(shelf: Shelf) -> None:
    before = shelf.stamp("index.html")
    shelf.put({"index.html": PAGE.encode(), "assets/style.css": b"p{}", "other.html": b"new"}, "")
    assert shelf.stamp("index.html") == before
    shelf.put({"index.html": PAGE.encode(), "assets/style.css": b"p{color:red}"}, "")
    assert shelf.stamp("index.html") != before
    assert shelf.stamp("gone.html") == ""


def test_the_script_is_added_once_and_only_to_what_is_handed_out() -> None:
    page = live_page(PAGE, "a b.html", "0")
    assert page.count("live.js") == 1
    assert "page=a%20b.html" in page
    assert "live.js" not in PAGE


# ----------------------------------------------------------------------------------------------------------- building


def test_what_is_handed_out_is_what_a_build_writes(manual: Path) -> None:
    from authorkit.commands import CLEAN, main

    files, findings = watch.made_pages(BookState(manual))
    assert findings.errors == ()
    assert files is not None
    assert main(["build", "--html", "--manual", str(manual)]) == CLEAN
    built = manual / "build" / "out" / "html"
    on_disk = {path.relative_to(built).as_posix(): path.read_bytes() for path in built.rglob("*") if path.is_file()}
    assert dict(files) == on_disk
    assert not any(b"live.js" in data or b"EventSource" in data for data in on_disk.values())


def test_an_error_gives_no_pages(manual: Path) -> None:
    edit(manual, "P0118", "set-by: M1", "set-by: M99")
    files, findings = watch.made_pages(BookState(manual))
    assert files is None
    assert "module-unknown" in {problem.rule for problem in findings.errors}


def test_a_port_that_is_taken_is_named(manual: Path, port: int, capsys) -> None:
    from authorkit.commands import COULD_NOT_RUN, main

    assert main(["watch", str(manual), "--port", str(port)]) == COULD_NOT_RUN
    assert f"port {port} cannot be used" in capsys.readouterr().err
