"""The preview as a whole: a first site, a server, and a loop beside it that follows the maker."""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread
from typing import Any
from urllib.parse import urlsplit

import click

from builder.errors import PatinariumError, Problem, SiteError, Weight
from builder.holding import STORE
from builder.pipeline import recall_last
from builder.previewing.looping import Loop
from builder.previewing.serving import Server
from builder.previewing.showing import Shown, put_notices, redraw
from builder.previewing.watching import look_over
from builder.recent import Recent
from builder.records.ledger import LEDGER
from builder.said import print_problems, show_progress

_PATIENCE = 10.0  # s that a page being rendered, or photographs being read, are waited for

#: A configuration of MkDocs that builds into a folder, and our plugin in it.
Load = Callable[[Path], tuple[Any, Any]]
#: Runs MkDocs on them; raises what stopped it as a ``PatinariumError``.
Make = Callable[[Any, Any], None]


@dataclass
class Studio:
    """Makes the site and what is shown of it. ``load`` and ``make`` are the site generator's part;
    sites lie in ``folder``, each in one of its own, so that the last is shown until the next is
    whole."""

    load: Load
    make: Make
    folder: Path
    recent: Recent = field(default_factory=Recent)
    shown: Shown | None = None
    _built: int = 0
    _plugins: Any = None

    def build(self, heed: Callable[[], None] = lambda: None) -> Any:
        """A whole site in a new folder, ``shown`` from now on; the configuration it was made
        with. ``heed`` is called page by page, and what it raises ends it.

        Raises ``PatinariumError`` where there can be none.
        """
        self._built += 1
        target = self.folder / str(self._built)
        last = self.shown
        try:
            config, plugin = self.load(target)
            if self._plugins is None:
                self._plugins = config.plugins
                config.plugins.on_startup(command="serve", dirty=False)
            plugin.recent, plugin.heed, plugin.serving = self.recent, heed, True
            plugin.gathered = plugin.failed = None
            with show_progress() as progress:
                plugin.progress = progress
                self.make(config, plugin)
        except BaseException:
            shutil.rmtree(target, ignore_errors=True)
            raise
        self.shown = Shown(
            plugin.gathered,
            plugin.laid_out,
            plugin.binder.pages,
            target,
            plugin.binder.frame,
            plugin.told.audience,
            last.unusable if last else {},
        )
        put_notices(self.shown)
        known = last.gathered.findings.problems if last else ()
        print_problems(tuple(sorted({*plugin.gathered.findings.problems} - {*known})))
        return config

    def end(self) -> None:
        """Nothing more is made."""
        if self._plugins is not None:
            self._plugins.on_shutdown()

    def rebuild(self, heed: Callable[[], None], server: Server) -> bool:
        """Make the whole site and have the ``server`` show it; whether a page that was looked at is
        another now."""
        last = self.shown
        try:
            self.build(heed)
        except PatinariumError as error:
            print_problems(error.problems)
            _say("the last good pages are shown until it is put right")
            return False
        if last is None or self.shown is None:
            return True
        before, after = last.folder, self.shown.folder
        server.root = str(after)
        asked = sorted(server.asked)
        differs = any(_read(before / page) != _read(after / page) for page in asked)
        shutil.rmtree(before, ignore_errors=True)
        _say("the whole site is up to date")
        return differs

    def redraw(self, paths: Collection[str]) -> bool | None:
        """Show what the sidecars at ``paths`` say now; as :class:`Loop` wants it."""
        if self.shown is None:
            return None
        root = self.shown.gathered.findings.library.root
        files = frozenset(Path(os.path.relpath(path, root)).as_posix() for path in paths)
        try:
            redrawn = redraw(self.shown, files, self.recent)
        except PatinariumError as error:
            print_problems(error.problems)
            return False
        if redrawn is None:
            return None
        print_problems(redrawn.problems)
        _say(f"shown: {', '.join(redrawn.numbers)}")
        return redrawn.touches_more


def show_preview(library: Path, load: Load, make: Make, port: int, open_browser: bool) -> None:
    """Make the site of ``library``, serve it on this machine's ``port`` and follow what is saved,
    until Ctrl-C.

    Raises ``PatinariumError`` where there is no site to begin with, or the port is taken.
    """
    with _room_for_sites(library) as made:
        studio = Studio(load, make, Path(made), recall_last(library / STORE))
        try:
            _follow(library, studio, port, open_browser)
        finally:
            studio.end()


def _follow(library: Path, studio: Studio, port: int, open_browser: bool) -> None:
    bell = studio.folder / "bell" / "bell"
    bell.parent.mkdir()
    # What is changed from here on is followed, the time of the first build included.
    before = look_over([str(library.absolute())])
    config = studio.build()
    mount_path = urlsplit(config.site_url or "/").path
    server = Server(port, Path(config.site_dir), mount_path, bell)
    for place in (config.docs_dir, library / "mkdocs.yml", library / LEDGER, *config.watch):
        server.watch(str(place))
    config.plugins.on_serve(server, config=config, builder=studio.build)
    places = tuple(dict.fromkeys(server.places))
    loop = Loop(
        look_over,
        places,
        {path: before.get(path, stamp) for path, stamp in look_over(places).items()},
        studio.redraw,
        lambda heed: studio.rebuild(heed, server),
        server.reload,
    )
    following = Thread(target=loop.run, daemon=True)
    following.start()
    try:
        click.echo(f"{server.url} shows each saved change. Ctrl-C ends it.")
        server.show(open_browser)
    except KeyboardInterrupt:
        click.echo("Ended.")
    except OSError as error:
        raise _cannot_serve(port, error) from error
    finally:
        loop.ended.set()
        following.join(_PATIENCE)
        server.shutdown()


def _room_for_sites(library: Path) -> tempfile.TemporaryDirectory[str]:
    """In the library's store where that can be, so that pictures are linked and not copied."""
    store = library / STORE
    try:
        store.mkdir(exist_ok=True)
        return tempfile.TemporaryDirectory(
            prefix="preview-", dir=store.absolute(), ignore_cleanup_errors=True
        )
    except OSError:
        return tempfile.TemporaryDirectory(prefix="patinarium-", ignore_cleanup_errors=True)


def _cannot_serve(port: int, error: OSError) -> SiteError:
    return SiteError(
        Problem(
            f"127.0.0.1:{port}",
            0,
            f"the site cannot be shown there ({error.strerror or error})",
            "a port of this machine that no other program uses",
            "choose another with --port",
            Weight.STOPS,
        )
    )


def _read(page: Path) -> bytes:
    return page.read_bytes() if page.is_file() else b""


def _say(words: str) -> None:
    click.echo(f"{time.strftime('%H:%M:%S')} {words}")
