"""A piece's sidecar added to on the disk: whole or not at all, and never over a change that its
maker made meanwhile.

The caller holds the library's lock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from builder.digests import digest_bytes
from builder.errors import FilingError, Problem, Weight
from builder.read.sidecar_edits import Edited
from builder.safe_files import write_whole

Edit = Callable[[bytes], Edited]


@dataclass(frozen=True)
class Added:
    """The lines (from 1) that were added, or added to, and the file as it is now: its SHA-256 and
    its bytes."""

    lines: tuple[int, ...]
    digest: str
    bytes: int


def digest_sidecar(root: Path, name: str) -> str:
    """SHA-256 of a sidecar as it is on the disk; ``name`` as in :func:`add_to_sidecar`. Raises
    ``FilingError``."""
    return digest_bytes(_read(_find(root, name), name))


def add_to_sidecar(root: Path, name: str, edit: Edit, limit: int, seen: str = "") -> Added:
    """Put what ``edit`` makes of a sidecar in its place.

    ``name`` is relative to the library's folder ``root``, with ``/``; ``limit`` the most bytes a
    sidecar may have; ``seen`` the digest of the file the addition was chosen for, where there was
    time to look. Raises ``FilingError``; the file is then as it was.
    """
    target = _find(root, name)
    data = _read(target, name)
    if seen and digest_bytes(data) != seen:
        raise _say_changed(name)
    edited = edit(data)
    if len(edited.data) > limit:
        raise _refuse(
            name,
            f"the file would be larger than {limit} bytes",
            "a short text file",
            "move long notes elsewhere, or raise limits in mkdocs.yml; nothing was written",
        )
    if _read(target, name) != data:
        raise _say_changed(name)
    try:
        write_whole(target, edited.data)
    except OSError as error:
        raise _refuse(
            name,
            f"the file cannot be written ({error.strerror or error})",
            "a file and folder you may write to, with room on the disk",
            "change their permissions and try again; the file is as it was",
        ) from None
    return Added(edited.lines, digest_bytes(edited.data), len(edited.data))


def _find(root: Path, name: str) -> Path:
    """The file itself, links followed."""
    try:
        target = (root / name).resolve()
        inside = target.is_relative_to(root.resolve())
    except (OSError, RuntimeError):  # a link that leads to itself
        inside = False
    if not inside:
        raise _refuse(
            name,
            "this is a link that leads outside the library",
            "a file in the piece's folder",
            "put a copy here; nothing was written",
        )
    return target


def _read(target: Path, name: str) -> bytes:
    try:
        return target.read_bytes()
    except OSError as error:
        raise _refuse(
            name,
            f"the file cannot be read ({error.strerror or error})",
            "the piece's sidecar",
            "see that it is there and that you may read it",
        ) from None


def _say_changed(name: str) -> FilingError:
    return _refuse(
        name,
        "the file has changed meanwhile",
        "the file as it was read",
        "look at it and try again; nothing was written",
    )


def _refuse(name: str, found: str, expected: str, remedy: str) -> FilingError:
    return FilingError(Problem(name, 0, found, f"expected {expected}", remedy, Weight.LEFT_OUT))
