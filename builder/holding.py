"""One run at a time works on a library: a lock that frees itself when its owner is gone, and a note
beside it that says who holds it."""

from __future__ import annotations

import contextlib
import os
import socket
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock, Timeout

from builder.errors import BusyError, Problem, Weight

#: The folder of a library that holds what is kept between runs.
STORE = ".patinarium"
_LOCK, _NOTE = "working.lock", "working.txt"


@dataclass
class Hold:
    """The right to work on a library; :meth:`release` it, or leave a ``with``."""

    lock: FileLock
    note: Path

    def release(self) -> None:
        if self.lock.is_locked:
            with contextlib.suppress(OSError):
                self.note.unlink(missing_ok=True)
            self.lock.release()

    def __enter__(self) -> Hold:
        return self

    def __exit__(self, *_: object) -> None:
        self.release()


def refuse_links(store: Path) -> None:
    """Raises :class:`BusyError` where a library's ``.patinarium`` or the pictures in it are a link:
    what is kept would be written elsewhere."""
    for place in (store, store / "pictures"):
        if place.is_symlink():
            raise BusyError(
                Problem(
                    f"{store.name}/{place.name}" if place != store else store.name,
                    0,
                    "this is a link to another place",
                    "a folder of the library's own",
                    "delete the link: what was kept there is made anew",
                    Weight.STOPS,
                )
            )


def hold(store: Path, doing: str) -> Hold:
    """Take the right to work on the library whose ``.patinarium`` is ``store``; ``doing`` names the
    command ("build"). Raises :class:`BusyError` where another run holds it or the disk refuses."""
    refuse_links(store)
    lock, note = FileLock(store / _LOCK, blocking=False), store / _NOTE
    try:
        store.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except Timeout:
        raise BusyError(
            Problem(
                store.parent.name or ".",
                0,
                f"another run is at work on this library{_say_who(note)}",
                "one run at a time",
                "wait until it has ended, or stop it, and try again",
                Weight.STOPS,
            )
        ) from None
    except OSError as error:
        raise BusyError(
            Problem(
                store.name,
                0,
                f"the library's folder could not be written to ({error.strerror or error})",
                "a folder that may be written to, with room on its disk",
                "change its permissions, or copy the library to where you may write",
                Weight.STOPS,
            )
        ) from error
    with contextlib.suppress(OSError):
        words = f"patinarium {doing}, process {os.getpid()} on {socket.gethostname()}\n"
        note.write_text(words, encoding="utf-8")
    return Hold(lock, note)


def _say_who(note: Path) -> str:
    with contextlib.suppress(OSError, UnicodeDecodeError):
        said = note.read_text(encoding="utf-8").strip()
        if said and said.isprintable():
            return f": {said[:200]}"
    return ""
