"""Results kept between runs, so that an unchanged photograph is never opened again.

One SQLite file in the library's ``.patinarium`` folder, which may be thrown away at any time: it
holds nothing that the originals and sidecars do not. A row serves while the file's size and time
are what they were, and the settings and the code that made it too; where only the time differs,
the digest decides. Long texts that only long sums ask for are put away in rows of their own, so
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
from builder.records.texts import name_text

_SEEN_TABLE = """
create table if not exists seen (
    path text primary key, size integer not null, time_ns integer not null,
    sha256 text not null, fingerprint text not null, found text not null
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
    """What tells a file from its earlier self without opening it: bytes, nanoseconds."""

    size: int
    time_ns: int

    @classmethod
    def of(cls, path: Path | str) -> Stamp:
        status = os.stat(path)  # noqa: PTH116  # a Path costs more than the question
        return cls(status.st_size, status.st_mtime_ns)


_SEEN = TypeAdapter(Seen)


class Kept:
    """The store of one library; use :func:`open_kept`."""

    def __init__(self, connection: sqlite3.Connection, root: Path) -> None:
        self._connection = connection
        self._root = root

    def recall(self, path: str, stamp: Stamp, fingerprint: str) -> Seen | None:
        """What was seen of this very file under these very settings, if it is kept."""
        row = self._connection.execute(
            "select size, time_ns, sha256, found from seen where path = ? and fingerprint = ?",
            (path, fingerprint),
        ).fetchone()
        if row is None:
            return None
        size, time_ns, sha256, found = row
        if size != stamp.size:
            return None
        if time_ns != stamp.time_ns:
            if not sha256 or digest_file(self._root / path) != sha256:
                return None
            self._connection.execute(
                "update seen set time_ns = ? where path = ?", (stamp.time_ns, path)
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
                "insert or replace into seen values (?, ?, ?, ?, ?, ?)",
                (path, stamp.size, stamp.time_ns, seen.sha256, fingerprint, found),
            )
        return seen

    def list_held(self) -> dict[str, tuple[Stamp, str]]:
        """Stamp and fingerprint of all that is kept, by path."""
        rows = self._connection.execute("select path, size, time_ns, fingerprint from seen")
        return {path: (Stamp(size, time), made) for path, size, time, made in rows}

    def digests(self) -> dict[str, tuple[str, Stamp]]:
        """SHA-256 and stamp of every photograph kept, by path, as it was when it was seen."""
        rows = self._connection.execute(
            "select path, sha256, size, time_ns from seen where sha256 != ''"
        )
        return {path: (sha256, Stamp(size, time)) for path, sha256, size, time in rows}

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
    """The store in ``folder``; a damaged one is put aside and begun anew."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "seen.sqlite3"
    try:
        connection = _connect(file)
    except sqlite3.DatabaseError:
        file.replace(file.with_suffix(".damaged"))
        connection = _connect(file)
    try:
        yield Kept(connection, root)
        connection.commit()
    finally:
        connection.close()


def _connect(file: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(file, timeout=30, isolation_level=None)
    try:
        for made in (_SEEN_TABLE, _AWAY_TABLE, _AWAY_BY_PATH, _WORKED_TABLE):
            connection.execute(made)
    except sqlite3.DatabaseError:
        connection.close()
        raise
    return connection


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
