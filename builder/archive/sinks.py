"""Where the files of a bag are written: a folder or a zip file, each under a hidden name until it
is whole."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import shutil
import stat
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Protocol

from builder.archive.pouring import Poured, pour
from builder.safe_files import name_without_replacing, part_of, sync_folder

_FIRST, _LAST = (1980, 1, 1, 0, 0, 0), (2107, 12, 31, 23, 59, 58)  # what a zip file can say
_TEXTS = frozenset({".csv", ".htm", ".html", ".json", ".jsonl", ".md", ".svg", ".tsv", ".txt", ".yaml", ".yml"})  # fmt: skip # noqa: E501
_UNIX = 3


class Sink(Protocol):
    def add(self, path: str, stream: IO[bytes], at_ns: int | None, kinds: Iterable[str]) -> Poured:
        """Everything of ``stream`` as the file ``path``, last written to ``at_ns`` nanoseconds
        since 1970 (None: now), with its digests of these kinds. Raises ``OSError``."""


class FolderSink:
    """Files in the folder ``root``; a name is never written to twice."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def add(self, path: str, stream: IO[bytes], at_ns: int | None, kinds: Iterable[str]) -> Poured:
        target = self.root / path
        target.parent.mkdir(parents=True, exist_ok=True)
        with target.open("xb") as written:
            poured = pour(stream, kinds, written.write)
            written.flush()
            os.fsync(written.fileno())
            _forget(written)
        if at_ns is not None:
            os.utime(target, ns=(at_ns, at_ns))
        return poured


class ZipSink:
    """Members of a zip file, all in the folder ``top``. Pictures are stored: they are packed in
    themselves, and what is stored can be got out of a damaged file."""

    def __init__(self, archive: zipfile.ZipFile, top: str) -> None:
        self.archive, self.top = archive, top

    def add(self, path: str, stream: IO[bytes], at_ns: int | None, kinds: Iterable[str]) -> Poured:
        member = zipfile.ZipInfo(f"{self.top}/{path}", _say_dos_time(at_ns or 0))
        text = Path(path).suffix.lower() in _TEXTS
        member.compress_type = zipfile.ZIP_DEFLATED if text else zipfile.ZIP_STORED
        member.create_system = _UNIX
        member.external_attr = (stat.S_IFREG | 0o644) << 16
        with self.archive.open(member, "w", force_zip64=True) as written:
            return pour(stream, kinds, written.write)


@contextmanager
def folder_part(target: Path) -> Iterator[Path]:
    """A hidden folder beside ``target``, which gets that name when all went well and is gone
    otherwise. Raises ``FileExistsError`` where the name is taken by then by anything but an empty
    folder."""
    part = part_of(target)
    _clear(part)
    part.mkdir()
    try:
        yield part
        for folder, _, _ in os.walk(part, topdown=False):
            sync_folder(Path(folder))
        if target.exists() and not target.is_symlink():
            target.rmdir()  # an empty one alone
        part.rename(target)
        sync_folder(target.parent)
    finally:
        with contextlib.suppress(OSError):
            _clear(part)


@contextmanager
def zip_part(target: Path) -> Iterator[Path]:
    """A hidden file beside ``target``, in the same way; never in another's place."""
    part = part_of(target)
    _clear(part)
    try:
        yield part
        name_without_replacing(part, target)
        sync_folder(target.parent)
    finally:
        with contextlib.suppress(OSError):
            _clear(part)


@contextmanager
def zip_sink(part: Path, top: str) -> Iterator[ZipSink]:
    with part.open("xb") as stream:
        with zipfile.ZipFile(stream, "w") as archive:
            yield ZipSink(archive, top)
        stream.flush()
        os.fsync(stream.fileno())
        _forget(stream)


def _clear(part: Path) -> None:
    """Remove what a killed run left."""
    if part.is_dir() and not part.is_symlink():
        shutil.rmtree(part)
    else:
        part.unlink(missing_ok=True)


def _forget(written: IO[bytes]) -> None:
    """Have it read back from the disk, not from what the system remembers of it."""
    if hasattr(os, "posix_fadvise"):
        os.posix_fadvise(written.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def _say_dos_time(time_ns: int) -> tuple[int, int, int, int, int, int]:
    """UTC, as zip files tell it."""
    try:
        at = dt.datetime.fromtimestamp(time_ns // 10**9, tz=dt.UTC)
    except (OverflowError, ValueError, OSError):
        return _FIRST
    told = (at.year, at.month, at.day, at.hour, at.minute, at.second)
    return min(max(told, _FIRST), _LAST)
