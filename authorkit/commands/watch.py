"""`authorkit watch`: the HTML manual in a browser, built anew and shown anew with every change that is saved."""

from __future__ import annotations

import argparse
import sys
import threading
import time
import webbrowser
from collections.abc import Mapping
from pathlib import Path

from authorkit.checks.run import Findings, check_book, settle
from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.commands.folder import Lines, manual_folder
from authorkit.desk.book_state import BookState
from authorkit.desk.page_view import picture_store
from authorkit.desk.watch.changes import changes
from authorkit.desk.watch.server import HOST, serve
from authorkit.desk.watch.shelf import Shelf
from authorkit.manual.compose import compose
from authorkit.output.findings.text import as_text, count_words
from authorkit.output.html.write import html_pages

_PORT = 8118


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `watch`."""
    parser.add_argument(
        "manual",
        nargs="?",
        metavar="FOLDER",
        type=Path,
        help="the manual's folder (default: this one, or the nearest above it that holds chapters/vehicle.ipynb)",
    )
    parser.add_argument("--port", type=int, default=_PORT, help=f"the port on this machine (default: {_PORT}; 0: any)")
    parser.add_argument("--open", action="store_true", help="open the manual in the browser")


def run(options: argparse.Namespace) -> int:
    """Serve until Ctrl-C; 2 if the port is taken."""
    folder = manual_folder(options.manual)
    shelf = Shelf()
    try:
        server = serve(shelf, options.port)
    except OSError as error:
        reason = error.strerror or str(error)
        print(f"authorkit: port {options.port} cannot be used: {reason}. Try --port 0.", file=sys.stderr)
        return COULD_NOT_RUN
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = f"http://{HOST}:{server.server_port}/"
    print(f"Manual: {address} (Ctrl-C ends it)", flush=True)
    if options.open:
        webbrowser.open(address)
    stop = threading.Event()
    try:
        _follow(folder, shelf, stop)
    except KeyboardInterrupt:
        print("Stopped.")
    finally:
        stop.set()
        shelf.close()
        server.shutdown()
        server.server_close()
    return CLEAN


def _follow(folder: Path, shelf: Shelf, stop: threading.Event) -> None:
    """Build at once, then after every change."""
    state = BookState(folder)
    _build(state, shelf, "all pages")
    for changed in changes(folder, stop):
        _build(state, shelf, ", ".join(changed))


def _build(state: BookState, shelf: Shelf, what: str) -> None:
    """Build what can be built, and tell the terminal and the pages; a file that vanishes meanwhile is told, too."""
    began = time.perf_counter()
    try:
        files, findings = made_pages(state)
    except OSError as error:
        shelf.put(None, f"{error.strerror or error}: {error.filename or ''}")
        print(f"{what}: not built: {error.strerror or error}", flush=True)
        return
    took = time.perf_counter() - began
    told = as_text(Findings(findings.errors, ()), Lines(state.folder).line_of) if findings.errors else ""
    shelf.put(files, told)
    if told:
        sys.stdout.write(told)
    outcome = "built" if files is not None else "not built, the last good pages stay"
    print(f"{what}: {outcome} ({took:.1f} s). {count_words(findings)}", flush=True)


def made_pages(state: BookState) -> tuple[Mapping[str, bytes] | None, Findings]:
    """Every file of the HTML manual and the findings; no files where an error stands in the way, as for a build.

    `state` reads again only the notebooks that were written since.
    """
    book, reading = state.book()
    findings = check_book(book, reading)
    if book is None or findings.errors:
        return None, findings
    manual, problems = compose(book, (), picture_store(book))
    files, left_out = html_pages(manual)
    kept = [problem for problem in findings.open if not problem.rule.startswith("acceptance-")]
    accepted = [item.problem for item in findings.accepted]
    findings = settle(book, (*kept, *accepted, *problems, *left_out))
    return None if findings.errors else files, findings
