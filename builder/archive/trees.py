"""A bag as a tree of plain files, whether it lies in a folder or in a zip file.

Strangers make bags: a link, a pipe or a name that leads elsewhere is a fault, and nothing of it is
ever followed or opened.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, BinaryIO

from builder.archive.names import find_escape
from builder.archive.verdict import Verdict
from builder.archive.zips import UnreadableError, list_members, open_member, open_zip
from builder.errors import ArchiveError, Problem, Weight

MOST_FILES = 1_000_000
#: Of one tag file, or of a ledger in a bag: some 300 000 lines.
MOST_TAG_BYTES = 64_000_000


@dataclass(frozen=True)
class Tree:
    """Files by path with their bytes. ``verdict`` holds what was wrong with others."""

    sizes: dict[str, int]
    verdict: Verdict
    opening: Callable[[str], AbstractContextManager[IO[bytes]]]

    def open(self, path: str) -> AbstractContextManager[IO[bytes]]:
        """The bytes of a file. Whatever goes wrong is an ``OSError``."""
        return self.opening(path)

    def read(self, path: str, most: int = MOST_TAG_BYTES) -> bytes:
        """A small file whole. Raises ``OSError``, for one of more than ``most`` bytes too."""
        with self.open(path) as stream:
            data = stream.read(most + 1)
        if len(data) > most:
            raise OSError(errno.EFBIG, f"it has more than {most} bytes")
        return data


@contextmanager
def open_tree(place: Path) -> Iterator[Tree]:
    """The bag in the folder or zip file ``place``. Raises :class:`ArchiveError` where it cannot be
    opened at all."""
    with ExitStack() as stack:
        try:
            tree = _list_folder(place) if place.is_dir() else _list_zip(stack, place)
        except (UnreadableError, OSError) as error:
            raise ArchiveError(
                Problem(
                    place.as_posix(),
                    0,
                    f"it cannot be opened ({getattr(error, 'strerror', None) or error})",
                    "a bag: a folder with bagit.txt in it, or a zip file of one",
                    "name another copy of it",
                    Weight.STOPS,
                )
            ) from error
        yield tree


def _list_zip(stack: ExitStack, place: Path) -> Tree:
    verdict = Verdict()
    archive = stack.enter_context(open_zip(place))
    members = list_members(archive, verdict, MOST_FILES)
    sizes = {path: member.file_size for path, member in sorted(members.items())}
    return Tree(sizes, verdict, lambda path: open_member(archive, members[path]))


def _list_folder(root: Path) -> Tree:
    verdict, sizes = Verdict(), {}
    waiting = [(root, "")]
    while waiting:
        folder, above = waiting.pop()
        with os.scandir(folder) as entries:
            for entry in entries:
                path = above + entry.name
                status = entry.stat(follow_symlinks=False)
                reason = _find_reason(entry, status) or find_escape(path)
                if reason:
                    verdict.fault(
                        path, f"this is {reason}", "plain files", "take it out of the bag"
                    )
                elif stat.S_ISDIR(status.st_mode):
                    waiting.append((Path(entry.path), f"{path}/"))
                else:
                    sizes[path] = status.st_size
        if len(sizes) > MOST_FILES:
            verdict.fault("", f"there are more than {MOST_FILES} files", "fewer in one bag", "")
            break
    return Tree(dict(sorted(sizes.items())), verdict, lambda path: _open_plain(root / path))


def _open_plain(path: Path) -> BinaryIO:
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
    return os.fdopen(os.open(path, flags), "rb")


def _find_reason(entry: os.DirEntry[str], status: os.stat_result) -> str:
    junction = getattr(stat, "IO_REPARSE_TAG_MOUNT_POINT", -1)
    if entry.is_symlink() or getattr(status, "st_reparse_tag", 0) == junction:
        return "a link"
    if any("\ud800" <= sign <= "\udfff" for sign in entry.name):
        return "a name that is no text"
    if not (stat.S_ISREG(status.st_mode) or stat.S_ISDIR(status.st_mode)):
        return "no file"
    return ""
