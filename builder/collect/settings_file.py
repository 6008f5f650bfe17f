"""The library's ``mkdocs.yml`` changed on the disk: whole or not at all, and never over a change
that somebody else made meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from builder.digests import digest_bytes
from builder.errors import BusyError, LibraryError, Problem, Weight
from builder.holding import STORE, hold
from builder.read.corner_edits import write_corners
from builder.read.option_values import SETTINGS_FILE
from builder.records.photo import Quad
from builder.safe_files import write_whole


@dataclass(frozen=True)
class Written:
    """Line (from 1) of each key that was written, and the digest of the file as it is now."""

    lines: Mapping[str, int]
    digest: str


def digest_settings(root: Path) -> str:
    """SHA-256 of the settings as they are on the disk. Raises ``LibraryError``."""
    return digest_bytes(_read(root))


def store_corners(root: Path, seen: str, setup: str, corners: Mapping[str, Quad]) -> Written:
    """Write a set-up's corners into the settings of the library at ``root``.

    ``seen`` is the digest of the settings the corners were chosen for. Raises ``LibraryError``
    where they have changed since, cannot be edited or written, or a build is at work; the file is
    then as it was.
    """
    try:
        lock = hold(root / STORE, "mark")
    except BusyError as error:
        remedy = "wait until it has ended, or see to the folder's permissions, and save again"
        raise LibraryError(replace(p, remedy=remedy) for p in error.problems) from None
    try:
        data = _read(root)
        if digest_bytes(data) != seen:
            raise _refuse(
                "the file has changed since this page was opened",
                "the settings the corners were chosen for",
                "load the page again and mark once more; nothing was written",
            )
        edited = write_corners(data, setup, corners)
        if edited.data != data:
            _replace_whole((root / SETTINGS_FILE).resolve(), edited.data)
        return Written(edited.lines, digest_bytes(edited.data))
    finally:
        lock.release()


def _read(root: Path) -> bytes:
    try:
        return (root / SETTINGS_FILE).read_bytes()
    except OSError as error:
        raise _refuse(
            f"the file cannot be read ({error.strerror or error})",
            "the library's settings",
            "see that it is there and that you may read it",
        ) from None


def _replace_whole(target: Path, data: bytes) -> None:
    """``data`` in the place of ``target`` in one step, once it is safely on the disk."""
    try:
        write_whole(target, data)
    except OSError as error:
        raise _refuse(
            f"the file cannot be written ({error.strerror or error})",
            "a file and folder you may write to, with room on the disk",
            "change their permissions and save again; the file is as it was",
        ) from None


def _refuse(found: str, expected: str, remedy: str) -> LibraryError:
    return LibraryError(Problem(SETTINGS_FILE, 0, found, expected, remedy, Weight.STOPS))
