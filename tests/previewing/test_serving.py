"""The server, without a network: what it answers is asked of it directly."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from builder.previewing.serving import Server


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    for name in ("1", "2", "bell"):
        (tmp_path / name).mkdir()
    for name in ("1", "2"):
        (tmp_path / name / "index.html").write_text(f"<body>site {name}</body>", "utf-8")
        (tmp_path / name / "404.html").write_text("no such page", "utf-8")
    made = Server(0, tmp_path / "1", "/", tmp_path / "bell" / "bell")
    yield made
    made.server_close()


def ask(server: Server, path: str, host: str = "127.0.0.1:8000") -> tuple[str, bytes]:
    said: list[str] = []

    def start(status: str, headers: Any) -> None:
        said.append(status)

    asked = {"PATH_INFO": path, "REQUEST_METHOD": "GET", "HTTP_HOST": host}
    answer = server.get_app()(asked, start)  # type: ignore
    return said[0], b"".join(answer)


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example:8000", "", "[::1"])
def test_under_another_name_nothing_is_shown(server: Server, host: str) -> None:
    status, said = ask(server, "/", host)
    assert status.startswith("403")
    assert b"site" not in said


def test_another_site_is_shown_from_one_moment_to_the_next(server: Server, tmp_path: Path) -> None:
    assert b"site 1" in ask(server, "/")[1]
    server.root = str(tmp_path / "2")
    assert b"site 2" in ask(server, "/")[1]


def test_pages_know_when_to_reload_and_which_were_asked_for_is_noted(server: Server) -> None:
    assert b"/livereload/" in ask(server, "/index.html")[1]
    ask(server, "/")
    ask(server, "/pictures/a.jpg")
    ask(server, "/pieces/none.html")
    assert server.asked == {"index.html", "pieces/none.html"}


def test_a_page_that_is_not_there_is_said_on_the_sites_own_page(server: Server) -> None:
    assert ask(server, "/none.html") == ("404 Not Found", b"no such page")


def test_places_of_plugins_are_noted_and_not_watched_twice(server: Server, tmp_path: Path) -> None:
    server.watch(str(tmp_path / "docs"))
    server.watch(str(tmp_path / "notes"))
    server.unwatch(str(tmp_path / "notes"))
    assert server.places == [str(tmp_path / "docs")]


def test_every_call_to_reload_changes_what_browsers_wait_for(
    server: Server, tmp_path: Path
) -> None:
    sizes = []
    for _ in range(3):
        server.reload()
        sizes.append((tmp_path / "bell" / "bell").stat().st_size)
    assert sizes == [1, 0, 1]
