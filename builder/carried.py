"""What was worked out in the last run, carried to the next: sidecars as read, stories as drawn.

SQLite files in the library's ``.patinarium`` folder, which may be thrown away at any time; an
answer serves where the question is asked of the very same things, see :class:`builder.recent.
Recent`. A row holds the answers about one piece, and is written anew only when one of them is
another.

Such a file may have come with a stranger's library. Rows that this user's own runs did not write
are not read: each bears a seal (HMAC, RFC 2104) made with a word that lies with the user's settings
and in no library. And reading one makes values of our own records, dates and paths, and nothing
else.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import hmac
import io
import json
import os
import pickle
import secrets
import sqlite3
import sys
from collections.abc import Hashable, Iterator
from contextlib import contextmanager
from dataclasses import is_dataclass
from enum import Enum
from functools import partial
from pathlib import Path
from typing import Any

import click
import pydantic
from pydantic import BaseModel

from builder.recent import Recent
from builder.records.facts import Fact
from builder.relate.undisturbed import undisturbed
from builder.stores import open_store

CARRIED_FILE, PAGES_FILE = "carried.sqlite3", "pages.sqlite3"
_TABLE = """
create table if not exists carried (
    about text primary key, maker text not null, seal text not null, answers blob not null
) without rowid
"""
_PROTOCOL = 5
_WORD = "own-word"
_PLAIN: dict[tuple[str, str], type] = {
    (kind.__module__, kind.__qualname__): kind
    for kind in (dt.date, dt.datetime, dt.time, dt.timedelta, dt.timezone, type(Path()))
}
_OURS = "builder."


class _NotOursError(pickle.UnpicklingError):
    """The file names what no answer is made of."""


class _Reader(pickle.Unpickler):
    """Makes nothing but values; ``facts`` are those made before, and are not made twice. Source:
    Python's documentation of ``pickle``, *Restricting globals*."""

    def __init__(self, answers: bytes, facts: dict[object, Fact[Any]]) -> None:
        super().__init__(io.BytesIO(answers))
        self._make_fact = partial(_make_fact, facts)  # no method: it would keep all this alive

    def find_class(self, module: str, name: str) -> Any:
        if (module, name) == (Fact.__module__, Fact.__qualname__):
            return self._make_fact
        if (module, name) in _PLAIN:
            return _PLAIN[module, name]
        if module.startswith(_OURS) and name.isidentifier():
            found = super().find_class(module, name)
            if _is_record(found) and (found.__module__, found.__qualname__) == (module, name):
                return found
        raise _NotOursError(f"{module}.{name}")


def _make_fact(facts: dict[object, Fact[Any]], *told: Any) -> Fact[Any]:
    try:
        return facts.get(told) or facts.setdefault(told, Fact(*told))
    except TypeError:  # a value that cannot be looked up
        return Fact(*told)


def _is_record(found: object) -> bool:
    return isinstance(found, type) and (is_dataclass(found) or issubclass(found, (Enum, BaseModel)))


def _name(maker: str) -> str:
    """The code, and what the form of its values depends on besides."""
    return f"{maker} {sys.version} {pydantic.VERSION}"


def _seal(word: str, about: str, maker: str, answers: bytes) -> str:
    named = json.dumps([about, maker]).encode()
    return hmac.new(word.encode(), named + b"\n" + answers, "sha256").hexdigest()


def _own_word() -> str:
    """A word of this user's on this machine, made up when it is first asked for; another each time
    where none can be kept, and then nothing is taken up."""
    file = Path(click.get_app_dir("patinarium")) / _WORD
    new = secrets.token_hex(16)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with contextlib.suppress(FileExistsError):
            descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(descriptor, "w") as stream:
                stream.write(new)
        word = file.read_text("ascii")
    except (OSError, ValueError):
        return new
    return word if len(word) == len(new) else new


@undisturbed()
def take_up(file: Path, maker: str) -> Recent:
    """What the last run left in ``file``; nothing, where there is none, where it was worked out
    by another ``maker`` (names the code), or where it cannot be read."""
    held: dict[Hashable, tuple[Any, Any]] = {}
    facts: dict[object, Fact[Any]] = {}
    if not file.is_file():
        return Recent()
    word, maker = _own_word(), _name(maker)
    try:
        with _open(file) as connection:
            for about, seal, answers in connection.execute(
                "select about, seal, answers from carried where maker = ?", (maker,)
            ):
                if hmac.compare_digest(seal, _seal(word, about, maker, answers)):
                    held.update(_Reader(answers, facts).load())
    except Exception:  # a damaged or a stranger's file can fail in any way
        return Recent()
    return Recent(held)


def lay_down(file: Path, maker: str, recent: Recent) -> int:
    """Leave for the next run what was asked for in this one; how many rows were written. A disk
    that refuses is no matter: the same is worked out again."""
    parts: dict[str, dict[Hashable, tuple[Any, Any]]] = {}
    for question, answer in recent.list_asked().items():
        parts.setdefault(_name_part(question), {})[question] = answer
    changed = {_name_part(question) for question in recent.list_changed()}
    try:
        with _open(file) as connection:
            return _write(connection, _name(maker), parts, changed)
    except (OSError, sqlite3.Error):
        with contextlib.suppress(OSError):
            file.unlink(missing_ok=True)
        return 0


def _write(
    connection: sqlite3.Connection,
    maker: str,
    parts: dict[str, dict[Hashable, tuple[Any, Any]]],
    changed: set[str],
) -> int:
    word = _own_word()
    connection.execute("begin immediate")
    connection.execute("delete from carried where maker != ?", (maker,))
    there = {about for (about,) in connection.execute("select about from carried")}
    connection.executemany(
        "delete from carried where about = ?", [(about,) for about in there - parts.keys()]
    )
    new = [about for about in parts if about in changed or about not in there]
    for about in new:
        answers = pickle.dumps(parts[about], _PROTOCOL)
        row = (about, maker, _seal(word, about, maker, answers), answers)
        connection.execute("insert or replace into carried values (?, ?, ?, ?)", row)
    connection.commit()
    return len(new)


def _name_part(question: Hashable) -> str:
    """The piece, as a rule, or the page that a question is about; "" for the whole library. Its
    second part says it: a number with an attempt, a folder, a sidecar, the path of a photograph or
    the address of a page."""
    what = question[1] if isinstance(question, tuple) and len(question) > 1 else ""
    if isinstance(what, tuple):
        return str(what[0])
    if isinstance(what, Path):
        return what.parent.name if what.suffix else what.name
    return what if what.endswith(".html") else what.rpartition("/")[0].rpartition("/")[2]


def forget(folder: Path) -> None:
    """Nothing that was carried is taken up again. Raises ``OSError``."""
    for name in (CARRIED_FILE, PAGES_FILE):
        (folder / name).unlink(missing_ok=True)


@contextmanager
def _open(file: Path) -> Iterator[sqlite3.Connection]:
    connection = open_store(file, (_TABLE,))
    try:
        yield connection
    finally:
        connection.close()
