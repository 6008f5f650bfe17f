"""Results kept between runs, so that an unchanged photograph is never opened again.

One SQLite file in the library's ``.patinarium`` folder, which may be thrown away at any time: it
holds nothing that the originals and sidecars do not. A row serves while the file's size and time
are what they were, and the settings and the code that made it too; where only a time differs, the
digest decides. Long texts that only long sums ask for are put away in rows of their own, so
that a large library need not be held in memory with them.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, MutableMapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from builder.digests import digest_file
from builder.errors import Problem
from builder.records.photo import CardReport, Picture, Reading, SheetReport
from builder.records.texts import DamagedError, name_text
from builder.stores import is_damaged, open_store, put_aside

_FILE = "seen.sqlite3"

_SEEN_TABLE = """
create table if not exists seen (
    path text primary key, size integer not null, time_ns integer not null,
    moved_ns integer not null, sha256 text not null, fingerprint text not null, found text not null
) without rowid
"""
_AWAY_TABLE = """
create table if not exists away (
    name text not null, path text not null, text text not null, primary key (name, path)
) without rowid
"""
_AWAY_BY_PATH = "create index if not exists away_by_path on away (path)"
_WORKED_TABLE = """
create table if not exists worked (question text primary key, answer text not null) without rowid
"""
_MADE_BY = (_SEEN_TABLE, _AWAY_TABLE, _AWAY_BY_PATH, _WORKED_TABLE)


@dataclass(frozen=True, slots=True)
class Seen:
    """All that one opening of a photograph gave; ``problem`` alone where it cannot be opened."""

    picture: Picture | None
    card: CardReport | None = None
    readings: tuple[Reading, ...] = ()
    problem: Problem | None = None
    sha256: str = ""
    sheet: SheetReport | None = None


@dataclass(frozen=True, slots=True)
class Stamp:
    """What tells a file from its earlier self without opening it: bytes, nanoseconds. What keeps
    its size and time while it is written to does not keep the time it was moved or written at."""

    size: int
    time_ns: int
    moved_ns: int = 0

    @classmethod
    def of(cls, path: Path | str) -> Stamp:
        status = os.stat(path)  # noqa: PTH116  # a Path costs more than the question
        return cls(status.st_size, status.st_mtime_ns, status.st_ctime_ns)


_SEEN = TypeAdapter(Seen)


class Kept:
    """The store of one library; use :func:`open_kept`."""

    def __init__(self, connection: sqlite3.Connection, root: Path) -> None:
        self._connection = connection
        self._root = root

    def recall(self, path: str, stamp: Stamp, fingerprint: str) -> Seen | None:
        """What was seen of this very file under these very settings, if it is kept."""
        row = self._connection.execute(
            "select size, time_ns, moved_ns, sha256, found from seen"
            " where path = ? and fingerprint = ?",
            (path, fingerprint),
        ).fetchone()
        if row is None:
            return None
        size, time_ns, moved_ns, sha256, found = row
        if size != stamp.size:
            return None
        if (time_ns, moved_ns) != (stamp.time_ns, stamp.moved_ns):
            if not sha256 or digest_file(self._root / path) != sha256:
                return None
            self._connection.execute(
                "update seen set time_ns = ?, moved_ns = ? where path = ?",
                (stamp.time_ns, stamp.moved_ns, path),
            )
        try:
            return _SEEN.validate_json(found)
        except ValidationError:
            return None  # written by an older version: seen afresh

    def keep(self, path: str, stamp: Stamp, fingerprint: str, seen: Seen) -> Seen:
        """Keep what was seen; on disk at once, so that an interrupted run loses nothing. Gives what
        was seen with its long texts put away."""
        seen, texts = _put_away(seen)
        found = _SEEN.dump_json(seen).decode()
        with self._connection:
            self._connection.execute("begin immediate")
            self._connection.execute("delete from away where path = ?", (path,))
            self._connection.executemany(
                "insert into away values (?, ?, ?)",
                [(name, path, text) for name, text in texts.items()],
            )
            self._connection.execute(
                "insert or replace into seen values (?, ?, ?, ?, ?, ?, ?)",
                (
                    path,
                    stamp.size,
                    stamp.time_ns,
                    stamp.moved_ns,
                    seen.sha256,
                    fingerprint,
                    found,
                ),
            )
        return seen

    def list_held(self) -> dict[str, tuple[Stamp, str]]:
        """Stamp and fingerprint of all that is kept, by path."""
        rows = self._connection.execute(
            "select path, size, time_ns, moved_ns, fingerprint from seen"
        )
        return {path: (Stamp(*stamp), made) for path, *stamp, made in rows}

    def digests(self) -> dict[str, tuple[str, Stamp]]:
        """SHA-256 and stamp of every photograph kept, by path, as it was when it was seen."""
        rows = self._connection.execute(
            "select path, sha256, size, time_ns, moved_ns from seen where sha256 != ''"
        )
        return {path: (sha256, Stamp(*stamp)) for path, sha256, *stamp in rows}

    def texts(self) -> Texts:
        """The texts put away, by name."""
        return Texts(self._connection)

    def worked(self) -> Worked:
        """Answers of long sums, by the digest of their question."""
        return Worked(self._connection)

    def forget_all_but(self, paths: Iterable[str]) -> None:
        """Drop rows of photographs that are gone."""
        wanted = set(paths)
        held = [row[0] for row in self._connection.execute("select path from seen")]
        gone = [(path,) for path in held if path not in wanted]
        for table in ("seen", "away"):
            self._connection.executemany(f"delete from {table} where path = ?", gone)  # noqa: S608


class Texts(Mapping[str, str]):
    """The table of texts put away, by name."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def __getitem__(self, name: str) -> str:
        row = self._connection.execute(
            "select text from away where name = ? limit 1", (name,)
        ).fetchone()
        if row is None:
            raise KeyError(name)
        return str(row[0])

    def __iter__(self) -> Iterator[str]:
        return (row[0] for row in self._connection.execute("select distinct name from away"))

    def __len__(self) -> int:
        return sum(1 for _ in self)


class Worked(MutableMapping[str, str]):
    """The table of answers. New ones reach the disk with :meth:`save`, all at once: another run
    that works on the library meanwhile is not kept waiting."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._asked: set[str] = set()
        self._new: dict[str, str] = {}

    def __getitem__(self, key: str) -> str:
        if key in self._new:
            return self._new[key]
        row = self._connection.execute(
            "select answer from worked where question = ?", (key,)
        ).fetchone()
        if row is None:
            raise KeyError(key)
        self._asked.add(key)
        return str(row[0])

    def __setitem__(self, key: str, answer: str) -> None:
        self._new[key] = answer

    def __delitem__(self, key: str) -> None:
        self._new.pop(key, None)
        self._connection.execute("delete from worked where question = ?", (key,))

    def __iter__(self) -> Iterator[str]:
        held = {row[0] for row in self._connection.execute("select question from worked")}
        return iter(held | self._new.keys())

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def save(self, forget_unasked: bool) -> None:
        """Put what is new on the disk, and drop what was not asked for since the table was opened.
        Where the disk, or another run, refuses, the same is worked out again next time."""
        asked = self._asked | self._new.keys()
        old = [key for key in self if key not in asked] if forget_unasked else []
        with contextlib.suppress(sqlite3.OperationalError), self._connection:
            self._connection.execute("begin immediate")
            self._connection.executemany(
                "delete from worked where question = ?", [(key,) for key in old]
            )
            self._connection.executemany(
                "insert or replace into worked values (?, ?)", sorted(self._new.items())
            )


@contextmanager
def open_kept(folder: Path, root: Path) -> Iterator[Kept]:
    """The store in ``folder``; one that cannot be opened is put aside and begun anew.

    Raises :class:`DamagedError` where it turns out to be damaged while it is used.
    """
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / _FILE
    try:
        connection = open_store(file, _MADE_BY)
    except sqlite3.DatabaseError as error:
        if not is_damaged(error):
            raise
        put_aside(file)
        connection = open_store(file, _MADE_BY)
    try:
        yield Kept(connection, root)
        connection.commit()
    except sqlite3.DatabaseError as error:
        raise (DamagedError(str(error)) if is_damaged(error) else error) from error
    finally:
        connection.close()


def begin_anew(folder: Path) -> None:
    """Put the store in ``folder`` aside. Raises ``OSError``."""
    put_aside(folder / _FILE)


def _put_away(seen: Seen) -> tuple[Seen, dict[str, str]]:
    """What was seen with the names of its long texts, and those texts by name."""
    picture = seen.picture
    if picture is None:
        return seen, {}
    grid, thumbnail = picture.grid, picture.thumbnail
    texts = {}
    if thumbnail:
        texts[name := name_text(thumbnail)] = thumbnail
        picture = replace(picture, thumbnail=name)
    if grid:
        texts[name := name_text(grid.packed)] = grid.packed
        picture = replace(picture, grid=replace(grid, packed=name))
    return replace(seen, picture=picture), texts
