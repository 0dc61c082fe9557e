"""A server on this machine alone that hands out the last good pages and tells them when they are outdated."""

from __future__ import annotations

import html
import json
from contextlib import suppress
from functools import cache
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from pathlib import PurePosixPath
from urllib.parse import parse_qs, quote, unquote, urlsplit

from authorkit.desk.watch.shelf import Shelf
from authorkit.output.html.addresses import INDEX_FILE

HOST = "127.0.0.1"
_EVENTS, _SCRIPT = "/-/events", "/-/live.js"
_HEARTBEAT = 10.0  # seconds: how soon a page that was closed is noticed
_MEDIA = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".ttf": "font/ttf",
}
# What the pages' own policy lacks for listening to the server that they come from.
_POLICY = "default-src 'none';"


def serve(shelf: Shelf, port: int) -> ThreadingHTTPServer:
    """A server for the shelf; port 0 takes any free one. Raises OSError if the port is taken. Not yet running."""
    server = ThreadingHTTPServer((HOST, port), _handler(shelf))
    server.daemon_threads = True
    return server


def live_page(page: str, name: str, stamp: str) -> str:
    """A page with the script that makes it follow the sources; what is built on disk never has it."""
    events = html.escape(f"{_EVENTS}?page={quote(name)}&stamp={stamp}", quote=True)
    script = f'<script src="{_SCRIPT}" data-events="{events}"></script></head>'
    return page.replace(_POLICY, f"{_POLICY} connect-src 'self';", 1).replace("</head>", script, 1)


def _handler(shelf: Shelf) -> type[BaseHTTPRequestHandler]:
    class Handler(_Handler):
        shelf_of_all = shelf

    return Handler


class _Handler(BaseHTTPRequestHandler):
    shelf_of_all: Shelf

    def do_GET(self) -> None:
        """Answer a browser."""
        with suppress(BrokenPipeError, ConnectionResetError):  # the tab was closed
            self._answer()

    do_HEAD = do_GET

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: the terminal is for what is built."""

    def _answer(self) -> None:
        assert isinstance(self.server, ThreadingHTTPServer)
        port = self.server.server_port
        # A page of another server must not read this one under a name of its own (DNS rebinding).
        if self.headers.get("Host") not in (f"{HOST}:{port}", f"localhost:{port}"):
            self._send(HTTPStatus.MISDIRECTED_REQUEST, b"This server answers to its own address only.", ".txt")
            return
        address = urlsplit(self.path)
        if address.path == _EVENTS:
            asked = parse_qs(address.query)
            self._tell_news(asked.get("page", [""])[0], asked.get("stamp", [""])[0])
        elif address.path == _SCRIPT:
            self._send(HTTPStatus.OK, _live_script(), ".js")
        else:
            self._hand_out(unquote(address.path).lstrip("/") or INDEX_FILE)

    def _hand_out(self, name: str) -> None:
        data, kind = self.shelf_of_all.file(name), PurePosixPath(name).suffix
        if data is not None and kind != ".html":
            self._send(HTTPStatus.OK, data, kind)
            return
        page = _nothing_yet(name) if data is None else data.decode("utf-8")
        live = live_page(page, name, self.shelf_of_all.stamp(name))
        self._send(HTTPStatus.NOT_FOUND if data is None else HTTPStatus.OK, live.encode("utf-8"), ".html")

    def _send(self, status: HTTPStatus, data: bytes, kind: str) -> None:
        self.send_response(status)
        self.send_header("Content-Type", _MEDIA.get(kind, "text/plain; charset=utf-8"))
        self.send_header("Content-Length", str(len(data)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(data)

    def _tell_news(self, name: str, stamp: str) -> None:
        """Events (HTML Living Standard, 9.2): one at once, one for each build, a comment now and then."""
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", "text/event-stream")
        self.send_header("Cache-Control", "no-store")
        self.end_headers()
        told: int | None = -1
        while self.command != "HEAD":
            version = self.shelf_of_all.wait(-1 if told is None else told, _HEARTBEAT)
            if version is None:
                return
            state = {"reload": self.shelf_of_all.stamp(name) != stamp, "problems": self.shelf_of_all.problems}
            line = ": still here\n\n" if version == told else f"data: {json.dumps(state)}\n\n"
            self.wfile.write(line.encode("utf-8"))
            self.wfile.flush()
            told = version


@cache
def _live_script() -> bytes:
    return (files("authorkit.desk.watch") / "live.js").read_bytes()


def _nothing_yet(name: str) -> str:
    """A page in the place of one that is not there, or not yet."""
    return (
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY} script-src \'self\'">'
        f"<title>Not there</title></head><body><h1>There is no page '{html.escape(name)}'</h1>"
        '<p>It appears here as soon as it is built. <a href="/">Contents</a></p></body></html>'
    )
