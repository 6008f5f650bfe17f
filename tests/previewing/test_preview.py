"""The command as a whole: real library, site and server; the maker and the browser are told of."""

from __future__ import annotations

import socket
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builder.previewing import preview
from builder.previewing.looping import CALM, Loop
from builder.previewing.serving import Server
from tests.pipeline.small_library import copy_small_library
from tests.test_cli import bytes_of, quiet, run

__all__ = ["quiet"]  # a fixture that serves here too


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return copy_small_library(tmp_path / "library")


def read(server: Server, address: str) -> str:
    asked = {"PATH_INFO": f"/{address}", "HTTP_HOST": "localhost:8000"}
    answer = server.get_app()(asked, lambda *_: None)  # type: ignore
    return b"".join(answer).decode()


def test_what_is_saved_is_shown_then_the_whole_site_and_nothing_is_left_behind(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    loops: list[Loop] = []
    seen: list[str] = []

    class Beside:
        """A thread that never runs: its steps are taken when the test says so."""

        def __init__(self, target: Callable[[], None], daemon: bool) -> None:
            loops.append(target.__self__)  # type: ignore[attr-defined]

        def start(self) -> None: ...

        def join(self, timeout: float) -> None: ...

    def serve(server: Server, open_browser: bool) -> None:
        assert not open_browser
        for address in ("pieces/SH-012.html", "wall.html"):
            assert "gilding" not in read(server, address)
        sidecar = library / "samples" / "SH-012" / "sample.yaml"
        text = sidecar.read_text("utf-8")
        sidecar.write_text(text.replace("metal: copper", "metal: gilding metal"), "utf-8")
        monkeypatch.setattr(server, "reload", lambda: seen.append("reload"))
        (loop,) = loops
        loop.reload = server.reload
        loop.step()
        loop.step()
        seen.append("page" if "gilding" in read(server, "pieces/SH-012.html").lower() else "")
        assert "gilding" not in read(server, "wall.html").lower()
        for _ in range(CALM):
            loop.step()
        seen.append("site" if "gilding" in read(server, "wall.html").lower() else "")
        raise KeyboardInterrupt

    monkeypatch.setattr(preview, "Thread", Beside)
    monkeypatch.setattr(Server, "show", serve)
    before = set(bytes_of(library))
    result = run("preview", library, "--no-open", "--today", "2026-06-01")
    assert result.exit_code == 0, result.output
    assert seen == ["reload", "page", "reload", "site"]
    assert "SH-012" in result.stdout
    left = {name for name in set(bytes_of(library)) - before if not name.startswith(".patinarium/")}
    assert left == set()
    assert [one for one in (library / ".patinarium").iterdir() if "preview" in one.name] == []


def test_a_port_that_is_taken_is_said(library: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port: Any = taken.getsockname()[1]
        result = run("preview", library, "--no-open", "--port", port)
    assert result.exit_code == 1
    assert f"127.0.0.1:{port}" in result.stderr and "--port" in result.stderr


def test_without_a_site_to_begin_with_the_reason_is_said(library: Path) -> None:
    (library / "samples").rename(library / "pieces")
    result = run("preview", library, "--no-open")
    assert result.exit_code == 1
    assert "samples" in result.stderr
