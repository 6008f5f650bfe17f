"""What was worked out in the last run, carried to the next: sidecars as read, stories as drawn.

One file in the library's ``.patinarium`` folder, which may be thrown away at any time; an answer
serves where the question is asked of the very same things, see :class:`builder.recent.Recent`. The
file may have come with a stranger's library: reading it makes values of our own records, dates and
paths, and nothing else.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import pickle
from dataclasses import is_dataclass
from enum import Enum
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from builder.recent import Recent
from builder.relate.undisturbed import undisturbed

_FILE = "carried.pickle"
_PROTOCOL = 5
_PLAIN: dict[tuple[str, str], type] = {
    (kind.__module__, kind.__qualname__): kind
    for kind in (dt.date, dt.datetime, dt.time, dt.timedelta, dt.timezone, type(Path()))
}
_OURS = "builder."


class _NotOursError(pickle.UnpicklingError):
    """The file names what no answer is made of."""


class _Reader(pickle.Unpickler):
    """Makes nothing but values. Source: Python's documentation of ``pickle``, *Restricting
    globals*."""

    def find_class(self, module: str, name: str) -> Any:
        if (module, name) in _PLAIN:
            return _PLAIN[module, name]
        if module.startswith(_OURS) and name.isidentifier():
            found = super().find_class(module, name)
            if _is_record(found) and (found.__module__, found.__qualname__) == (module, name):
                return found
        raise _NotOursError(f"{module}.{name}")


def _is_record(found: object) -> bool:
    return isinstance(found, type) and (is_dataclass(found) or issubclass(found, (Enum, BaseModel)))


@undisturbed()
def take_up(folder: Path, maker: str) -> Recent:
    """What the last run left in ``folder``; nothing, where there is none, where it was worked out
    by another ``maker`` (names the code), or where it cannot be read."""
    try:
        with (folder / _FILE).open("rb") as stream:
            if _Reader(stream).load() != maker:
                return Recent()
            held = _Reader(stream).load()
    except Exception:  # a damaged or a stranger's file can fail in any way
        return Recent()
    return Recent(held) if isinstance(held, dict) else Recent()


def lay_down(folder: Path, maker: str, recent: Recent) -> None:
    """Leave for the next run what was asked for in this one. A disk that refuses is no matter: the
    same is worked out again."""
    file = folder / _FILE
    unfinished = file.with_suffix(".part")
    with contextlib.suppress(OSError):
        with unfinished.open("wb") as stream:
            pickle.dump(maker, stream, _PROTOCOL)
            pickle.dump(recent.list_asked(), stream, _PROTOCOL)
        unfinished.replace(file)
