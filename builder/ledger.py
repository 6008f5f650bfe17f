"""The ledger's file, ``ledger.jsonl``: one entry a line, each sealed and tied to the one before it.

A line is a JSON object in a fixed form, without line breaks in it::

    {"n":2,"at":"2025-01-14T10:31:07Z","what":"filed","file":"samples/SH-014/…","sha256":"…",
     "bytes":1234,"facts":{…},"before":"…","seal":"…"}

``seal`` is the SHA-256 of the line's bytes before ``,"seal"``; ``before`` the seal of the line
before. So a changed line no longer agrees with its own seal, and a line that is gone leaves a gap
in ``n`` and in ``before``. Anybody can check that with a text editor and a digest tool.
"""

from __future__ import annotations

import datetime as dt
import io
import json
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from builder.digests import digest_bytes
from builder.errors import ArchiveError, Problem, Weight
from builder.records.ledger import (
    LEDGER,
    NO_ENTRY,
    NO_LEDGER,
    Deed,
    Draft,
    Ledger,
    LedgerEntry,
    LedgerFault,
    take_in,
)
from builder.safe_files import append_whole

_SEAL = b',"seal":"'
_KEYS = ("n", "at", "what", "file", "sha256", "bytes", "facts", "before")
_TIME = "%Y-%m-%dT%H:%M:%SZ"
MOST_BYTES = 256_000_000  # some half a million entries
_MOST_LINE = 100_000
_MOST_FAULTS = 1_000


def read_ledger(root: Path) -> Ledger:
    """The ledger of the library at ``root``; an empty one where there is none yet.

    Raises :class:`ArchiveError` where the file is there and cannot be read.
    """
    file = root / LEDGER
    try:
        if not file.is_symlink() and not file.exists():
            return NO_LEDGER
        status = file.stat()
        if not stat.S_ISREG(status.st_mode):  # before opening: a pipe would wait for ever
            raise OSError(0, "it is no plain file")
        if status.st_size > MOST_BYTES:
            raise OSError(0, f"it has more than {MOST_BYTES} bytes")
        if status.st_size == 0:
            return Ledger(faults=(LedgerFault(0, "it is empty, and a ledger never is"),))
        return parse_ledger(file.read_bytes())
    except OSError as error:
        raise ArchiveError(
            Problem(
                LEDGER,
                0,
                f"the ledger cannot be read ({error.strerror or error})",
                "a file that you may read",
                "see to its permissions, or to the disk it is on",
                Weight.STOPS,
            )
        ) from error


def parse_ledger(data: bytes) -> Ledger:
    """The ledger in ``data``, every fault told at its line; nothing is raised."""
    count = data.count(b"\n")
    if count > 1 and data.count(b"\r\n") == count:
        fault = "its line ends are no longer LF alone: turn them back, and change nothing else"
        return Ledger(faults=(LedgerFault(1, fault),))
    entries: list[LedgerEntry] = []
    faults: list[LedgerFault] = []
    number, rest = 0, b""
    for number, ended in enumerate(io.BytesIO(data), start=1):
        line = ended.removesuffix(b"\n")
        if line == ended:
            rest = line
            break
        if len(faults) >= _MOST_FAULTS:
            faults.append(LedgerFault(number, "so much is wrong that the rest was not looked at"))
            break
        entry, fault = _read_line(line.removesuffix(b"\r"), number)
        if entry is None:
            faults.append(LedgerFault(number, fault))
            continue
        if line.endswith(b"\r"):
            fault = "its line end was changed"
        last = entries[-1] if entries else None
        fault = fault or _find_gap(last, entry, bool(faults) and faults[-1].line == number - 1)
        if fault:
            faults.append(LedgerFault(number, fault))
        entries.append(entry)
    last, fault = _read_line(rest, number) if rest else (None, "")
    whole = last is not None and not fault
    if last is not None and whole:  # an editor took the last line end away
        gap = _find_gap(entries[-1] if entries else None, last, False)
        faults += [LedgerFault(last.line, gap)] if gap else []
        entries.append(last)
    return Ledger(tuple(entries), tuple(faults), 0 if whole else len(rest), whole)


def seal_entries(drafts: Iterable[Draft], last: LedgerEntry | None, at: dt.datetime) -> bytes:
    """The lines of ``drafts``, to stand after the entry ``last``, written ``at`` (kept in UTC)."""
    number, before = (last.number, last.seal) if last else (0, NO_ENTRY)
    stamp = at.astimezone(dt.UTC).strftime(_TIME)
    lines = []
    for draft in drafts:
        number += 1
        values = (
            number,
            stamp,
            draft.what.value,
            draft.file,
            draft.sha256,
            draft.bytes,
            dict(draft.facts),
            before,
        )
        text = json.dumps(
            dict(zip(_KEYS, values, strict=True)), ensure_ascii=False, separators=(",", ":")
        )
        body = text.encode("utf-8")[:-1]
        before = digest_bytes(body)
        lines.append(body + _SEAL + before.encode() + b'"}\n')
    return b"".join(lines)


class Book:
    """The ledger held open for adding to, read once; for the holder of the library's lock alone.

    ``standing``: see :meth:`Ledger.standing`, kept up to date.
    """

    def __init__(self, root: Path, library: str) -> None:
        """``library`` is the name the library gets for good where its ledger begins now. Raises
        :class:`ArchiveError` where there are faults: nothing is built on a broken chain."""
        ledger = read_ledger(root)
        if ledger.faults:
            raise ArchiveError(say_fault(fault) for fault in ledger.faults)
        self._root, self._library = root, library
        self._torn, self._unended = ledger.torn, ledger.unended
        self._last = ledger.entries[-1] if ledger.entries else None
        self.standing = ledger.standing()

    def append(self, drafts: Iterable[Draft], at: dt.datetime) -> None:
        """Write ``drafts`` at the end, safely on the disk. Raises :class:`ArchiveError`, with the
        ledger as it was, where it cannot be written."""
        wanted = list(drafts)
        if not wanted:
            return
        if self._last is None:
            wanted.insert(0, Draft(Deed.BEGAN, facts={"library": self._library}))
        data = seal_entries(wanted, self._last, at)
        file = self._root / LEDGER
        try:
            if self._torn:  # the beginning of an entry whose run was killed: it never was
                with file.open("r+b") as stream:
                    stream.truncate(file.stat().st_size - self._torn)
                self._torn = 0
            append_whole(file, b"\n" + data if self._unended else data)
            self._unended = False
        except OSError as error:
            raise ArchiveError(
                Problem(
                    LEDGER,
                    0,
                    f"the ledger cannot be written ({error.strerror or error})",
                    "a file and folder you may write to, with room on the disk",
                    "see to its permissions or make room, and run the same again; nothing is lost",
                    Weight.STOPS,
                )
            ) from error
        for number, line in enumerate(data.splitlines(), start=self._last_line + 1):
            entry, _ = _read_line(line, number)
            if entry:
                take_in(self.standing, entry)
                self._last = entry

    @property
    def _last_line(self) -> int:
        return self._last.line if self._last else 0


def say_gone(entry: LedgerEntry) -> Problem:
    """That a file of the maker's is no longer where the ledger has it."""
    return Problem(
        entry.file,
        0,
        f"it is gone; the ledger has it since {entry.at:%Y-%m-%d} (entry {entry.number})",
        "the file as it was filed",
        f"bring it back from a bag; if it is meant to be gone: patinarium record {entry.file} "
        "--why REASON",
    )


def say_fault(fault: LedgerFault) -> Problem:
    return Problem(
        LEDGER,
        fault.line,
        fault.found,
        "every line as it was written",
        "bring the ledger back from a bag or another copy; it is never edited by hand",
        Weight.STOPS,
    )


def _read_line(line: bytes, number: int) -> tuple[LedgerEntry | None, str]:
    """The entry of a line and what is wrong with it; no entry where it cannot be read at all."""
    body, sealed, rest = line.rpartition(_SEAL)
    try:
        if len(line) > _MOST_LINE:
            raise ValueError
        read: dict[str, Any] = json.loads(line)
        entry = LedgerEntry(
            number=_whole(read["n"]),
            at=dt.datetime.strptime(read["at"], _TIME).replace(tzinfo=dt.UTC),
            what=Deed(read["what"]),
            file=_text(read["file"]),
            sha256=_text(read["sha256"]),
            bytes=_whole(read["bytes"]),
            facts={_text(key): _text(value) for key, value in read["facts"].items()},
            before=_text(read["before"]),
            seal=_text(read["seal"]),
            line=number,
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None, "this line was changed after it was written: it cannot be read"
    if not sealed or rest != entry.seal.encode() + b'"}' or digest_bytes(body) != entry.seal:
        return entry, "this line was changed after it was written: its seal does not fit it"
    return entry, ""


def _find_gap(last: LedgerEntry | None, entry: LedgerEntry, after_unread: bool) -> str:
    """What is wrong between an entry and the one before it; nothing where that could not be read,
    which has been said."""
    if last is None:
        if entry.number == 1 and entry.before == NO_ENTRY:
            return ""
        return "" if after_unread else _say_missing(1, entry.number - 1)
    if entry.number == last.number + 1:
        fits = entry.before == last.seal
        return "" if fits else "this line does not follow from the one before it"
    if entry.number > last.number + 1:
        one_unread = after_unread and entry.number == last.number + 2
        return "" if one_unread else _say_missing(last.number + 1, entry.number - 1)
    return f"entry {entry.number} stands after entry {last.number}"


def _say_missing(first: int, last: int) -> str:
    if last < first:
        return "the first entry is not what it was"
    return (
        f"entry {first} is missing" if first == last else f"entries {first} to {last} are missing"
    )


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value


def _whole(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise TypeError
    return value
