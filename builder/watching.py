"""Following a folder: when something of it is saved, look again and say what is new.

What watches is ``watchdog``, which MkDocs brings for its own preview; :func:`follow` is the part
that does not wait, and takes any series of moments to look again at.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer

from builder.errors import Problem
from builder.safe_files import PART

_QUIET_S = 0.3  # an editor saves in several steps; they are one change
_MADE_BY_US = ("site", ".site.next", "node_modules")
_TOUCHING = frozenset({"created", "modified", "moved", "deleted"})


def tell_changes(before: Sequence[Problem], after: Sequence[Problem]) -> tuple[str, ...]:
    """What is new among problems, each as a line, and what was put right. A problem that only
    moved to another line is not new."""
    old, new = {_key(p) for p in before}, {_key(p) for p in after}
    lines = [f"{problem}  [{problem.weight}]" for problem in after if _key(problem) not in old]
    lines += [f"put right: {problem.file}: {problem.found}" for problem in before
              if _key(problem) not in new]  # fmt: skip
    return tuple(dict.fromkeys(lines))


def _key(problem: Problem) -> tuple[str, str, str]:
    return problem.file, problem.found, problem.weight


def follow(
    look: Callable[[], Sequence[Problem]],
    say: Callable[[str], None],
    moments: Iterable[object],
    first: Sequence[Problem] = (),
) -> tuple[Problem, ...]:
    """Look again at each of ``moments`` and say what changed since the look before, ``first`` being
    what is known at the beginning; gives the problems of the last look."""
    known = tuple(first)
    for _ in moments:
        found = tuple(look())
        for line in tell_changes(known, found):
            say(line)
        if found != known:
            say(f"{len(found)} to put right.")
        known = found
    return known


def concerns(root: Path, path: Path) -> bool:
    """Whether a file is one that its maker saves: not made by a build, hidden, or half-written."""
    try:
        parts = path.relative_to(root).parts
    except ValueError:
        return False
    if not parts or parts[0] in _MADE_BY_US:
        return False
    return not any(part.startswith((".", "~")) or part.endswith((PART, "~")) for part in parts)


@contextmanager
def watch(root: Path) -> Iterator[Iterator[None]]:
    """Moments at which something under ``root`` was saved and it has been quiet since; they come
    for as long as they are asked for."""
    root = root.resolve()
    saved = threading.Event()
    observer = Observer()
    observer.schedule(_Saved(root, saved), str(root), recursive=True)
    observer.start()
    try:
        yield _wait(saved)
    finally:
        observer.stop()
        observer.join()


class _Saved(FileSystemEventHandler):
    """Raises a flag for each file of its maker's that is touched."""

    def __init__(self, root: Path, saved: threading.Event) -> None:
        self.root, self.saved = root, saved

    def on_any_event(self, event: FileSystemEvent) -> None:
        if event.is_directory and event.event_type == "modified":
            return
        paths = [path for path in (event.src_path, getattr(event, "dest_path", "")) if path]
        touched = event.event_type in _TOUCHING
        if touched and any(concerns(self.root, Path(str(path))) for path in paths):
            self.saved.set()


def _wait(saved: threading.Event) -> Iterator[None]:
    while True:
        while not saved.wait(1.0):  # in pieces, so that Ctrl-C is heard on every system
            pass
        while saved.is_set():
            saved.clear()
            saved.wait(_QUIET_S)
        yield
