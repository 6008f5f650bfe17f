"""The server: MkDocs' own, told when to reload by us. It keeps no page waiting for a build."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from mkdocs.livereload import LiveReloadServer

_HOST = "127.0.0.1"
_LOOKS_EVERY = 0.05  # s between two looks at the one file it watches


def _is_ours(host: str) -> bool:
    """Whether a request was made to this machine by one of its own names."""
    return host.rpartition(":")[0] in (_HOST, "localhost") or host in (_HOST, "localhost")


class Server(LiveReloadServer):
    """Serves the folder ``root``, which may be another at any time, to this machine alone.
    ``places`` are those that a plugin wants watched; ``asked`` the pages that were looked at."""

    def __init__(self, port: int, root: Path, mount_path: str, bell: Path) -> None:
        """``bell`` is a file of ours, alone in its folder: touched, it has browsers reload."""
        super().__init__(
            lambda: None, _HOST, port, str(root), mount_path, polling_interval=_LOOKS_EVERY
        )
        self.build_delay = 0.01
        self.error_handler = self._show_error
        self.places: list[str] = []
        self.asked: set[str] = set()
        self.set_app(self._answer)
        self._bell = bell
        bell.touch()
        super().watch(str(bell.parent))

    def watch(self, path: str, func: None = None, *, recursive: bool = True) -> None:
        """Noted: :mod:`builder.previewing.looping` looks there, and can tell what has changed."""
        self.places.append(str(Path(path).absolute()))

    def unwatch(self, path: str) -> None:
        self.places.remove(str(Path(path).absolute()))

    def show(self, open_browser: bool) -> None:
        """Serve until Ctrl-C. Raises ``OSError`` where the port is taken."""
        self.serve(open_in_browser=open_browser)  # type: ignore[no-untyped-call]  # MkDocs' own

    def reload(self) -> None:
        """Have browsers show their pages anew."""
        self._bell.write_bytes(b"" if self._bell.stat().st_size else b".")

    def _answer(self, environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        # Another site's page could have its own name lead to this machine, and read along.
        if not _is_ours(environ.get("HTTP_HOST", "")):
            start("403 Forbidden", [("Content-Type", "text/plain")])
            return (b"This preview is for this machine alone.\n",)
        path = environ["PATH_INFO"].encode("latin-1").decode("utf-8", "ignore")
        if path.endswith(("/", ".html")):
            path += "index.html" if path.endswith("/") else ""
            self.asked.add(path.removeprefix(self.mount_path))
        answer: Iterable[bytes] = self.serve_request(environ, start)
        return answer

    def _show_error(self, code: int) -> bytes | None:
        page = Path(self.root) / f"{code}.html"
        return page.read_bytes() if page.is_file() else None
