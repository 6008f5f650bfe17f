"""Writing so that a crash at any moment loses nothing: a file is whole under its name, or not
there.

What is being written lies beside its place under a name that begins with a full stop and ends in
``PART``; readers pass over such names, and :func:`clear_parts` removes what a killed run left.
All functions raise ``OSError`` as the system does (a full disk: ``ENOSPC``), with nothing changed.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from builder.digests import digest_file

PART = ".patinarium-part"
_BLOCK = 1 << 20


class ChangedCopyError(OSError):
    """What was read back from the disk is not what was written, or the source changed meanwhile."""


@dataclass(frozen=True)
class Copied:
    """SHA-256 and bytes of a copy that was read back from the disk."""

    sha256: str
    bytes: int


def list_plain(folder: Path) -> dict[str, os.DirEntry[str]]:
    """The files of a folder by name; a link, which may lead elsewhere, is none of them."""
    with os.scandir(folder) as found:
        return {entry.name: entry for entry in found if entry.is_file(follow_symlinks=False)}


def part_of(target: Path) -> Path:
    """Where ``target`` lies while it is being written."""
    return target.with_name(f".{target.name}{PART}")


def write_whole(target: Path, data: bytes) -> None:
    """``data`` under the name ``target``, in one step, in the place of what had that name.

    The permissions of what had that name are kept; a file marked as not to be written to is not.
    """
    with writing(target) as stream:
        stream.write(data)
        if target.exists():
            if not os.access(target, os.W_OK):  # a rename would pass over the mark
                raise PermissionError(errno.EACCES, "it is marked as not to be written to")
            shutil.copymode(target, stream.name)


@contextmanager
def writing(target: Path) -> Iterator[BinaryIO]:
    """A stream whose bytes are found under the name ``target`` once all are safely on the disk."""
    part = part_of(target)
    try:
        with part.open("wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        part.replace(target)
        sync_folder(target.parent)
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def copy_whole(source: Path, target: Path) -> Copied:
    """A copy of ``source`` under the name ``target``, its time kept, never in another's place.

    The copy is read back from the disk before it gets its name. Raises ``FileExistsError`` where
    the name is taken, :class:`ChangedCopyError` where the copy is not what was read.
    """
    part = part_of(target)
    digest, count = hashlib.sha256(), 0
    try:
        with source.open("rb") as read, part.open("wb") as written:
            status = os.fstat(read.fileno())
            while block := read.read(_BLOCK):
                digest.update(block)
                count += len(block)
                written.write(block)
            written.flush()
            os.fsync(written.fileno())
        if count != status.st_size or digest_file(part) != digest.hexdigest():
            raise ChangedCopyError(errno.EIO, "the copy is not what was read")
        os.utime(part, ns=(status.st_atime_ns, status.st_mtime_ns))
        name_without_replacing(part, target)
        sync_folder(target.parent)
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
    return Copied(digest.hexdigest(), count)


def append_whole(target: Path, data: bytes) -> None:
    """``data`` at the end of ``target``, made if need be, and safely on the disk.

    What a killed run may leave is a beginning of ``data``: the reader has to know its end.
    """
    new = not target.exists()
    size = 0 if new else target.stat().st_size
    with target.open("ab", buffering=0) as stream:
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[stream.write(rest) :]
            os.fsync(stream.fileno())
        except OSError:  # a full disk: as it was before
            with contextlib.suppress(OSError):
                os.ftruncate(stream.fileno(), size)
            raise
    if new:
        sync_folder(target.parent)


def clear_parts(folder: Path) -> None:
    """Remove what a killed run left half-written in ``folder``; for the lock's holder alone."""
    with contextlib.suppress(OSError):
        for part in folder.glob(f".*{PART}"):
            if part.is_file() and not part.is_symlink():
                part.unlink()


def sync_folder(folder: Path) -> None:
    """Put the folder's names on the disk, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def name_without_replacing(part: Path, target: Path) -> None:
    """``part`` under the name ``target`` too, or instead. Raises ``FileExistsError``."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:  # a stick whose file system knows one name a file
        if target.exists() or target.is_symlink():
            raise FileExistsError(errno.EEXIST, "the name is taken") from None
        part.rename(target)
