"""Which files of a library's folder are the library: its pieces, settings, ledger, pages, cards,
and how tables became pieces.

The folder may hold anything else besides: a site, a program, a version history. None of it goes
into a bag.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.errors import LibraryError, Problem, Weight
from builder.read.option_values import SETTINGS_FILE
from builder.read.places import Places, read_places
from builder.read.wording import show_name
from builder.records.ledger import LEDGER
from builder.records.library import IMPORTS

_LEFT_BY_SYSTEMS = frozenset({"thumbs.db", "desktop.ini"})


@dataclass(frozen=True)
class ChosenFile:
    """``path`` in the library, with ``/``; where its bytes are, and how many."""

    path: str
    source: Path
    bytes: int


@dataclass(frozen=True)
class Chosen:
    """The library's own files in the order of their paths. ``passed_over``: files in its folders
    whose names begin with a full stop, or that a system left there; readers pass over them too."""

    files: tuple[ChosenFile, ...]
    places: Places
    passed_over: tuple[str, ...] = ()

    @property
    def samples(self) -> str:
        return self.places.samples


def choose_files(root: Path) -> Chosen:
    """The files of the library at ``root``.

    Raises ``LibraryError``, naming each, where links lead outside or there is something that is no
    file.
    """
    places = read_places(root)
    walk = _Walk(root)
    for name in (SETTINGS_FILE, LEDGER, IMPORTS, *places.cards, places.samples, places.docs):
        path = root / name
        if path.is_symlink() or path.exists():
            walk.take(path, name, ())
    if walk.problems:
        raise LibraryError(walk.problems)
    files = tuple(walk.files[path] for path in sorted(walk.files))
    return Chosen(files, places, tuple(sorted(walk.passed_over)))


class _Walk:
    def __init__(self, root: Path) -> None:
        self.root, self.home = root, root.resolve()
        self.files: dict[str, ChosenFile] = {}
        self.passed_over: set[str] = set()
        self.problems: list[Problem] = []

    def take(self, path: Path, name: str, above: tuple[Path, ...]) -> None:
        """The file, or everything in the folder, at ``path``; ``above``: folders it is in."""
        try:
            real = path.resolve(strict=True)
            status = path.stat()
            if reason := self._find_reason(path, real, status, above):
                self._refuse(name, reason)
            elif stat.S_ISDIR(status.st_mode):
                for item, below in self._list(path, name):
                    self.take(item, below, (*above, real))
            else:
                self.files[name] = ChosenFile(name, path, status.st_size)
        except OSError as error:
            dead = path.is_symlink() and not path.exists()
            reason = "a link that leads nowhere" if dead else f"{error.strerror or error}".lower()
            self._refuse(name, reason)
        except RuntimeError:
            self._refuse(name, "a link that leads to itself")

    def _list(self, folder: Path, name: str) -> Iterator[tuple[Path, str]]:
        for item in sorted(folder.iterdir()):
            below = f"{name}/{item.name}"
            if item.name.startswith(".") or item.name.lower() in _LEFT_BY_SYSTEMS:
                self.passed_over.add(below)
            else:
                yield item, below

    def _find_reason(
        self, path: Path, real: Path, status: os.stat_result, above: tuple[Path, ...]
    ) -> str:
        if not real.is_relative_to(self.home):
            return "a link that leads outside the library"
        parts = real.relative_to(self.home).parts
        if path.is_symlink() and (not parts or parts[0].startswith(".")):
            return "a link to what is no part of the library"
        if real in above:
            return "a link to a folder that it is in"
        if any("\ud800" <= sign <= "\udfff" for sign in path.name) or "\\" in path.name:
            return "a name that not every system can read"
        regular = stat.S_ISREG(status.st_mode) or stat.S_ISDIR(status.st_mode)
        return "" if regular else "no file"

    def _refuse(self, name: str, reason: str) -> None:
        self.problems.append(
            Problem(
                show_name(name),
                0,
                f"this is {reason}",
                "plain files and folders",
                "put a copy of what is meant in its place, or rename it",
                Weight.STOPS,
            )
        )
