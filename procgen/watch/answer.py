"""The answer to one request: a file of the manual, the strip's own files, or the news. GET and HEAD, no more."""

import json
from dataclasses import dataclass
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler
from importlib import resources
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import parse_qs, urlsplit

from procgen.report.as_json import json_report
from procgen.report.report import Report
from procgen.watch import served_page
from procgen.watch.board import Board, News
from procgen.watch.site_file import read_site_file, wanted_path

HTML = "text/html; charset=utf-8"
TEXT = "text/plain; charset=utf-8"
CONTENT_TYPES = {
    ".html": HTML,
    ".txt": TEXT,
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".ics": "text/calendar; charset=utf-8",
    ".svg": "image/svg+xml; charset=utf-8",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
    ".ico": "image/x-icon",
    ".woff2": "font/woff2",
    ".pdf": "application/pdf",
}
_UNKNOWN_TYPE = "application/octet-stream"
_STILL_HERE_S = 15.0
"""So often a line without news is sent, which fails where nobody listens any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """What all answers are made from."""

    folder: Path
    """The manual, resolved."""
    library: str
    """As the person named it."""
    board: Board


class Handler(BaseHTTPRequestHandler):
    """Answers one request, and hangs up."""

    server_version = "procgen"
    sys_version = ""
    timeout = 30
    """A browser that says nothing for so many seconds is hung up on."""

    def __init__(self, served: Served, *arguments: Any) -> None:
        self._served = served
        super().__init__(*arguments)

    def do_GET(self) -> None:
        """A file, or the news."""
        if not self._is_meant_for_us():
            self.send_error(HTTPStatus.MISDIRECTED_REQUEST, "This address serves this machine only.")
            return
        build = self._served.board.latest
        url = urlsplit(self.path)
        match url.path:
            case served_page.NEWS:
                self._tell_news(url.query)
            case served_page.SCRIPT | served_page.STYLE:
                name = url.path.rpartition("/")[2]
                self._send(HTTPStatus.OK, _type_of(name), resources.files("procgen.watch").joinpath(name).read_bytes())
            case _:
                self._send_file(build)

    def do_HEAD(self) -> None:
        """What GET would give, without the thing itself."""
        self.do_GET()

    def __getattr__(self, name: str) -> Any:
        # The base class looks for the method `do_POST` to answer a POST, and so on.
        if name.startswith("do_"):
            return self._refuse
        raise AttributeError(name)

    def _refuse(self) -> None:
        self.send_error(HTTPStatus.METHOD_NOT_ALLOWED, "The manual can be read, and that is all.")

    def _is_meant_for_us(self) -> bool:
        """Whether the request names this machine: a page from elsewhere whose name leads here does not."""
        port = self.connection.getsockname()[1]
        return self.headers.get_all("Host", []) in ([f"127.0.0.1:{port}"], [f"localhost:{port}"])

    def _send_file(self, build: int) -> None:
        path = wanted_path(self.path)
        data = read_site_file(self._served.folder, path) if path else None
        is_page = path is not None and _type_of(path) == HTML
        if path and data is not None:
            self._send(HTTPStatus.OK, _type_of(path), served_page.with_strip(data, build) if is_page else data)
        elif path == "favicon.ico":
            # Browsers ask for it unbidden, and complain where there is none.
            self._send_head(HTTPStatus.NO_CONTENT, TEXT, 0)
        elif path and is_page:
            self._send(HTTPStatus.NOT_FOUND, HTML, served_page.missing_page(path, build))
        else:
            self.send_error(HTTPStatus.NOT_FOUND, "The manual has no such file.")

    def _tell_news(self, query: str) -> None:
        """Say how the manual is, and then each build, for as long as the browser listens."""
        known = parse_qs(query).get("since", ["0"])[0]
        known_build = int(known) if known.isascii() and known.isdigit() and len(known) < 20 else 0
        self._send_head(HTTPStatus.OK, "text/event-stream; charset=utf-8")
        shown = -1
        while self.command == "GET" and not self._served.board.is_closed:
            news = self._served.board.news(shown, known_build, _STILL_HERE_S)
            self.wfile.write(_event(news, self._served.library) if news else b": still here\n\n")
            shown = news.build if news else shown

    def _send(self, status: HTTPStatus, content_type: str, data: bytes) -> None:
        self._send_head(status, content_type, len(data))
        if self.command != "HEAD":
            self.wfile.write(data)

    def _send_head(self, status: HTTPStatus, content_type: str, length: int | None = None) -> None:
        self.send_response(status)
        self.send_header("Content-Type", content_type)
        if length is not None:
            self.send_header("Content-Length", str(length))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        if status is HTTPStatus.METHOD_NOT_ALLOWED:
            self.send_header("Allow", "GET, HEAD")
        if content_type != HTML:
            # Pages bring their own policy. A drawing that is opened by itself could run the scripts in it.
            self.send_header("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'")
        self.end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """An error in a sentence, as plain text. Also called by the base class, for what is no HTTP."""
        status = HTTPStatus(code)
        self._send(status, TEXT, f"{message or explain or status.phrase}\n".encode())

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - named by the base class
        """Say nothing: the terminal is for findings."""


def _type_of(path: str) -> str:
    return CONTENT_TYPES.get(PurePosixPath(path).suffix.lower(), _UNKNOWN_TYPE)


def _event(news: News, library: str) -> bytes:
    """One message of an event stream (HTML Standard, 9.2): a name, a line of JSON, and an empty line."""
    outcome = news.outcome
    said = {
        "build": news.build,
        "changed": news.changed,
        "problem": outcome.problem,
        "report": json.loads(json_report(Report(library=library, findings=outcome.findings))),
    }
    return f"event: build\ndata: {json.dumps(said)}\n\n".encode()
