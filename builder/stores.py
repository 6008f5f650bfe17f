"""SQLite files of our own making, where a stranger's may lie in their place."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterable
from pathlib import Path

_ASIDE = ".damaged"
_BESIDE = ("", "-journal", "-wal", "-shm")
#: What keeps a sound file from being used for a while.
_PASSING = frozenset(
    {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY}
)


def open_store(file: Path, made_by: Iterable[str]) -> sqlite3.Connection:
    """The store in ``file``, with what the statements ``made_by`` make and nothing else: a view or
    a trigger in their place could run for ever. A link is taken away, so that nothing is written
    elsewhere.

    Raises ``sqlite3.DatabaseError`` where it is no such file.
    """
    for name in (f"{file.name}{ending}" for ending in _BESIDE):
        beside = file.with_name(name)
        if beside.is_symlink():
            beside.unlink()
    statements = tuple(made_by)
    connection = sqlite3.connect(file, timeout=30, isolation_level=None)
    try:
        for statement in statements:
            connection.execute(statement)
        if _describe(connection) != _describe_new(statements):
            raise sqlite3.DatabaseError("it holds other things than this program makes")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def is_damaged(error: sqlite3.Error) -> bool:
    """Whether an error says that the file is no good, and not that it cannot be used just now."""
    code = getattr(error, "sqlite_errorcode", None)
    return code is None or (code & 0xFF) not in _PASSING


def put_aside(file: Path) -> None:
    """Make room for a new store; the damaged one is kept beside it. Raises ``OSError``."""
    aside = file.with_suffix(_ASIDE)
    with contextlib.suppress(OSError):
        aside.unlink()
    try:
        file.replace(aside)
    except FileNotFoundError:
        return


def _describe(connection: sqlite3.Connection) -> set[tuple[str, str, str | None]]:
    return set(connection.execute("select type, name, sql from sqlite_master"))


def _describe_new(statements: Iterable[str]) -> set[tuple[str, str, str | None]]:
    connection = sqlite3.connect(":memory:")
    try:
        for statement in statements:
            connection.execute(statement)
        return _describe(connection)
    finally:
        connection.close()
