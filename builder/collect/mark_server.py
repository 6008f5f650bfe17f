"""Serves one page to this machine alone, as long as it is needed.

Everything it answers with is in a table made beforehand: no address leads to a file. It listens on
the loopback address; a secret in every address keeps out other programs' guesses, the ``Host`` and
``Origin`` of a request keep out pages of other sites that a browser here has open.
"""

from __future__ import annotations

import json
import secrets
import sys
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler
from socketserver import TCPServer, ThreadingMixIn
from typing import Any

from builder.errors import LibraryError, PatinariumError, Problem, Weight

LOOPBACK = "127.0.0.1"
MOST_BYTES = 8_192  # of a message: eight corners need some three hundred
_PATIENCE_S = 20.0  # with a visitor who says nothing
_HEADERS = {
    "Content-Security-Policy": "default-src 'none'; img-src 'self'; style-src 'self'; "
    "script-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


@dataclass(frozen=True)
class Answer:
    """A body and its media type."""

    kind: str
    body: bytes


@dataclass(frozen=True)
class Exchange:
    """``pages``: what each name gives ("" is the page itself). ``take`` is given a message and
    answers it; ``ends`` says of a message that it is the last. Both may raise
    ``PatinariumError``, which is said to the page."""

    pages: Mapping[str, Callable[[], Answer]]
    take: Callable[[Mapping[str, Any]], Mapping[str, Any]]
    ends: Callable[[Mapping[str, Any]], bool]


class PageServer(ThreadingMixIn, TCPServer):
    """Serves ``exchange`` until its last message; ``address`` is where. Close it when done."""

    daemon_threads = True
    allow_reuse_address = sys.platform != "win32"  # there it would let another program listen in

    def __init__(self, exchange: Exchange, port: int = 0) -> None:
        """``port`` 0 is any that is free. Raises ``LibraryError`` where it is taken."""
        self.exchange = exchange
        self.secret = secrets.token_urlsafe(24)
        try:
            super().__init__((LOOPBACK, port), _Visitor)
        except (OSError, OverflowError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            raise LibraryError(
                Problem(
                    f"{LOOPBACK}:{port}",
                    0,
                    f"the page cannot be shown there ({reason})",
                    "a port of this machine that no other program uses",
                    "choose another with --port, or leave it out",
                    Weight.STOPS,
                )
            ) from None

    @property
    def port(self) -> int:
        return int(self.server_address[1])

    @property
    def address(self) -> str:
        return f"http://{LOOPBACK}:{self.port}/{self.secret}/"

    @property
    def hosts(self) -> tuple[str, str]:
        return f"{LOOPBACK}:{self.port}", f"localhost:{self.port}"

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A visitor who hangs up is nobody's concern."""


class _Visitor(BaseHTTPRequestHandler):
    server: PageServer
    timeout = _PATIENCE_S
    server_version = "patinarium"
    sys_version = ""

    def do_GET(self) -> None:
        name = self._find_name()
        make = None if name is None else self.server.exchange.pages.get(name)
        if make is None:
            self._say(HTTPStatus.NOT_FOUND)
            return
        try:
            self._answer(HTTPStatus.OK, make())
        except PatinariumError as error:
            self._answer(HTTPStatus.CONFLICT, Answer("text/plain", str(error).encode()))

    def do_POST(self) -> None:
        if self._find_name() != "":
            self._say(HTTPStatus.NOT_FOUND)
            return
        message = self._read_message()
        if message is None:
            return
        try:
            self._tell(HTTPStatus.OK, self.server.exchange.take(message))
        except PatinariumError as error:
            said = [str(problem) for problem in error.problems]
            self._tell(HTTPStatus.CONFLICT, {"problems": said})
            return
        if self.server.exchange.ends(message):
            # From another thread: the one that serves would wait for itself.
            threading.Thread(target=self.server.shutdown, daemon=True).start()

    def _find_name(self) -> str | None:
        """What follows the secret in the address; None for a request that is not ours."""
        if self.headers.get("Host", "").casefold() not in self.server.hosts:
            return None
        origin = self.headers.get("Origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.server.hosts}:
            return None
        start, stroke, name = self.path.removeprefix("/").partition("/")
        known = secrets.compare_digest(start.encode(), self.server.secret.encode())
        return name if known and stroke and self.path.startswith("/") else None

    def _read_message(self) -> Mapping[str, Any] | None:
        """The message of a request, or None once it has been refused."""
        length = self.headers.get("Content-Length", "")
        kind = self.headers.get_content_type()
        if "Transfer-Encoding" in self.headers or not (length.isascii() and length.isdigit()):
            self._say(HTTPStatus.LENGTH_REQUIRED)
        elif len(length) > len(str(MOST_BYTES)) or int(length) > MOST_BYTES:
            self._say(HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
        elif kind != "application/json":  # a form of another site cannot send this kind
            self._say(HTTPStatus.UNSUPPORTED_MEDIA_TYPE)
        else:
            try:
                message = json.loads(self.rfile.read(int(length)))
            except (ValueError, RecursionError):
                message = None
            if isinstance(message, dict):
                return message
            self._say(HTTPStatus.BAD_REQUEST)
        return None

    def _tell(self, status: HTTPStatus, message: Mapping[str, Any]) -> None:
        body = json.dumps(message, ensure_ascii=False).encode()
        self._answer(status, Answer("application/json", body))

    def _say(self, status: HTTPStatus) -> None:
        self._answer(status, Answer("text/plain", status.phrase.encode()))

    def _answer(self, status: HTTPStatus, answer: Answer) -> None:
        self.close_connection = True
        self.send_response(status)
        text = answer.kind.startswith("text/") or answer.kind == "application/json"
        self.send_header("Content-Type", answer.kind + ("; charset=utf-8" if text else ""))
        self.send_header("Content-Length", str(len(answer.body)))
        for name, value in _HEADERS.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(answer.body)

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """What the library would say with a page of its own, and with the request's words."""
        self._say(HTTPStatus(code))

    def log_message(self, format: str, *args: Any) -> None:
        """Silent: the maker's terminal is for the maker."""
