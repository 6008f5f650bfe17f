"""Who may ask the marking page's server, and for what."""

from __future__ import annotations

import http.client
import json
import socket
import threading
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from builder.collect.mark_server import MOST_BYTES, Answer, Exchange, PageServer
from builder.errors import LibraryError, Problem

JSON = {"Content-Type": "application/json"}


@pytest.fixture
def served() -> Iterator[tuple[PageServer, list[Mapping[str, Any]]]]:
    taken: list[Mapping[str, Any]] = []

    def take(message: Mapping[str, Any]) -> Mapping[str, Any]:
        taken.append(message)
        if "bad" in message:
            raise LibraryError(Problem("mkdocs.yml", 3, "wrong", "right", "mend it"))
        return {"said": "well"}

    exchange = Exchange(
        {"": lambda: Answer("text/html", b"<p>page"), "a.css": lambda: Answer("text/css", b"a{}")},
        take,
        lambda message: "done" in message,
    )
    with PageServer(exchange) as server:
        thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
        thread.start()
        yield server, taken
        server.shutdown()
        thread.join(10)


def ask(
    server: PageServer,
    name: str = "",
    method: str = "GET",
    body: str | bytes | None = None,
    headers: Mapping[str, str] = {},
    path: str | None = None,
) -> tuple[int, bytes, Mapping[str, str]]:
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    try:
        line.request(method, path or f"/{server.secret}/{name}", body, dict(headers))
        answer = line.getresponse()
        return answer.status, answer.read(), dict(answer.getheaders())
    finally:
        line.close()


def test_it_listens_on_the_loopback_address_alone(served) -> None:
    server, _ = served
    assert server.server_address[0] == "127.0.0.1"
    assert server.address == f"http://127.0.0.1:{server.port}/{server.secret}/"
    assert len(server.secret) >= 32  # 24 bytes of chance, in base64


def test_the_page_and_what_it_needs_are_given(served) -> None:
    server, _ = served
    assert ask(server)[:2] == (200, b"<p>page")
    status, body, headers = ask(server, "a.css")
    assert (status, body, headers["Content-Type"]) == (200, b"a{}", "text/css; charset=utf-8")


def test_every_answer_forbids_requests_to_anywhere_else(served) -> None:
    server, _ = served
    for name in ("", "nowhere"):
        headers = ask(server, name)[2]
        assert headers["Content-Security-Policy"].startswith("default-src 'none'; ")
        assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
        assert "http" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cache-Control"] == "no-store"
        assert "Python" not in headers["Server"]


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/wrong/",
        "/{secret}",
        "{secret}/",
        "/{secret}x/",
        "/{secret}/../{secret}/",
        "/{secret}/../../mkdocs.yml",
        "/{secret}/..%2f..%2fmkdocs.yml",
        "/{secret}//etc/passwd",
        "/{secret}/a.css/..",
        "/{secret}/a.css?x",
        "/é/",
    ],
)
def test_no_other_address_gives_anything(served, path) -> None:
    server, taken = served
    given = path.replace("{secret}", server.secret)
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as line:
        start = f"GET {given} HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n".encode()
        line.sendall(start)
        answer = b"".join(iter(lambda: line.recv(4096), b""))
    assert b" 404 " in answer.split(b"\r\n")[0]
    assert b"root:" not in answer
    assert taken == []


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},  # a name made to lead to this machine
        {"Host": "evil.example:{port}"},
        {"Host": "127.0.0.1"},
        {"Host": "127.0.0.1:1"},
        {"Host": ""},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://127.0.0.1:{port}"},
    ],
)
def test_pages_of_other_sites_are_refused_though_they_know_the_secret(served, headers) -> None:
    server, taken = served
    sent = {name: value.replace("{port}", str(server.port)) for name, value in headers.items()}
    assert ask(server, headers=sent)[0] == 404
    assert ask(server, "", "POST", "{}", {**JSON, **sent})[0] == 404
    assert taken == []


def test_the_page_itself_may_send(served) -> None:
    server, taken = served
    own = {**JSON, "Origin": f"http://127.0.0.1:{server.port}"}
    status, body, _ = ask(server, "", "POST", '{"a": 1}', own)
    assert (status, json.loads(body)) == (200, {"said": "well"})
    assert taken == [{"a": 1}]


@pytest.mark.parametrize(
    ("body", "headers", "status"),
    [
        (b"{}", {"Content-Type": "text/plain"}, 415),
        (b"{}", {"Content-Type": "application/x-www-form-urlencoded"}, 415),
        (b"{}", {}, 415),
        (b" " * (MOST_BYTES + 1), JSON, 413),
        (b"", {**JSON, "Content-Length": "9" * 30}, 413),
        (b"", {**JSON, "Content-Length": "-1"}, 411),
        (b"", {**JSON, "Content-Length": "²"}, 411),
        (b"2\r\n{}\r\n0\r\n\r\n", {**JSON, "Transfer-Encoding": "chunked"}, 411),
        (b"[]", JSON, 400),
        (b"{", JSON, 400),
        (b"\xff", JSON, 400),
        (b"[" * 8000, JSON, 400),
        (b"1" * 8000, JSON, 400),
    ],
)
def test_a_message_of_another_kind_or_size_is_refused(served, body, headers, status) -> None:
    server, taken = served
    length = {} if {"Content-Length", "Transfer-Encoding"} & set(headers) else {
        "Content-Length": str(len(body))
    }  # fmt: skip
    sent = {"Host": f"127.0.0.1:{server.port}", **headers, **length}
    start = "".join(f"{name}: {value}\r\n" for name, value in sent.items())
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as line:
        line.sendall(f"POST /{server.secret}/ HTTP/1.1\r\n{start}\r\n".encode("latin-1"))
        if len(body) <= MOST_BYTES:
            line.sendall(body)
        answer = b"".join(iter(lambda: line.recv(4096), b""))
    assert answer.startswith(f"HTTP/1.0 {status} ".encode()), answer[:80]
    assert taken == []


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "HEAD", "<script>"])
def test_other_ways_of_asking_are_not_known(served, method) -> None:
    server, _ = served
    status, body, _ = ask(server, method=method)
    assert status >= 400
    assert b"<" not in body


def test_only_the_page_takes_messages(served) -> None:
    server, taken = served
    assert ask(server, "a.css", "POST", "{}", JSON)[0] == 404
    assert taken == []


def test_a_problem_is_said_to_the_page(served) -> None:
    server, _ = served
    status, body, _ = ask(server, "", "POST", '{"bad": 1}', JSON)
    assert status == 409
    assert json.loads(body) == {"problems": ["mkdocs.yml:3: wrong; right; mend it"]}


def test_the_last_message_is_answered_and_ends_it(served) -> None:
    server, _ = served
    assert ask(server, "", "POST", '{"done": true}', JSON)[0] == 200
    server.shutdown()  # returns once nothing is served
    server.server_close()
    with pytest.raises(ConnectionError):
        ask(server)


def test_a_taken_port_is_said(served) -> None:
    server, _ = served
    with pytest.raises(LibraryError, match="choose another with --port"):
        PageServer(server.exchange, server.port)
    with pytest.raises(LibraryError, match="choose another with --port"):
        PageServer(server.exchange, 70_000)
