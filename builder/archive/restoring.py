"""A library taken out of a bag again: judged first, written under a hidden name, times set."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from builder.archive.file_times import read_times
from builder.archive.judging import judge_bag
from builder.archive.ledger_check import LIBRARY
from builder.archive.names import find_unportable
from builder.archive.sinks import FolderSink, folder_part
from builder.archive.tag_files import TIMES
from builder.archive.trees import Tree, open_tree
from builder.archive.verdict import Verdict
from builder.errors import ArchiveError, LibraryError, Problem, Weight
from builder.read.option_values import SETTINGS_FILE
from builder.read.places import read_places
from builder.safe_files import ChangedCopyError

Progress = Callable[[int, int], None]
_NEW = "a new or empty folder"


@dataclass(frozen=True)
class Restored:
    files: int
    verdict: Verdict


def restore_bag(place: Path, dest: Path, progress: Progress = lambda done, of: None) -> Restored:
    """Write the library in the bag at ``place`` into ``dest``.

    Raises :class:`ArchiveError`, with nothing written, where the bag is not valid or holds no
    library, and where ``dest`` is taken or cannot be written to. ``progress`` is called with
    (done, of) files, each counted once judged and once written.
    """
    _refuse_place(dest)
    with open_tree(place) as tree:
        count = len(tree.sizes)
        verdict = judge_bag(tree, lambda done, of: progress(done, 2 * count))
        if verdict.faults:
            raise ArchiveError(verdict.faults)
        files = _choose(tree, verdict)
        _refuse_room(tree, files, dest)
        try:
            with folder_part(dest) as part:
                _write(tree, files, part, verdict, progress)
                _warn_of_code(part, verdict)
        except OSError as error:
            name = dest.as_posix()
            if isinstance(error, FileExistsError):
                raise ArchiveError(_say(name, "two names in the bag are one here", "")) from error
            raise ArchiveError(
                _say(name, f"the library could not be written ({error.strerror or error})", _NEW)
            ) from error
        return Restored(len(files), verdict)


def _choose(tree: Tree, verdict: Verdict) -> dict[str, str]:
    """Payload path of each file of the library by its path there."""
    files: dict[str, str] = {}
    for path in tree.sizes:
        name = path.removeprefix(LIBRARY)
        if name == path:
            continue
        if any(part.startswith(".") for part in name.split("/")):
            verdict.note(path, "a hidden file is no part of a library; it was left in the bag")
        elif os.name == "nt" and (reason := find_unportable(name)):
            raise ArchiveError(_say(path, f"this is {reason}", "another system"))
        else:
            files[name] = path
    if SETTINGS_FILE not in files:
        raise ArchiveError(
            _say(
                LIBRARY + SETTINGS_FILE,
                "there is no library in this bag",
                "a bag made with: patinarium bag",
            )
        )
    return files


def _write(
    tree: Tree, files: dict[str, str], part: Path, verdict: Verdict, progress: Progress
) -> None:
    times = read_times(tree.read(TIMES)) if TIMES in tree.sizes else {}
    sink = FolderSink(part)
    for done, (name, path) in enumerate(files.items(), start=1):
        with tree.open(path) as stream:
            poured = sink.add(name, stream, times.get(path), ["sha256"])
        if poured.digests["sha256"] != verdict.digests[path]:
            raise ChangedCopyError(errno.EIO, f"{path} changed while it was read")
        progress(len(tree.sizes) + done * len(tree.sizes) // len(files), 2 * len(tree.sizes))
    if untold := sum(path not in times for path in files.values()):
        verdict.note(TIMES, f"of {untold} of its files no time is told; it is that of now")


def _warn_of_code(part: Path, verdict: Verdict) -> None:
    try:
        runs_code = read_places(part).runs_code
    except LibraryError as error:
        verdict.notes += error.problems
        return
    if runs_code:
        verdict.note(
            SETTINGS_FILE,
            "a build of this library runs programs that its settings name (hooks, theme, plugins)",
            "look at them first, unless the library is your own",
        )


def _refuse_place(dest: Path) -> None:
    name = dest.as_posix()
    if dest.is_symlink() or (dest.exists() and not dest.is_dir()):
        raise ArchiveError(_say(name, "this is no folder", _NEW))
    if dest.is_dir() and next(dest.iterdir(), None) is not None:
        raise ArchiveError(_say(name, "there are files in this folder", _NEW))
    if os.path.ismount(dest):
        raise ArchiveError(_say(name, "this is a whole disk", "a new folder on it"))
    if not dest.absolute().parent.is_dir():
        raise ArchiveError(_say(name, "there is no folder to put it in", "one that is there"))


def _refuse_room(tree: Tree, files: dict[str, str], dest: Path) -> None:
    room = shutil.disk_usage(dest.absolute().parent).free
    needed = sum(tree.sizes[path] for path in files.values())
    if room < needed:
        found = f"the disk has {room // 10**6} MB free; {needed // 10**6} MB are needed"
        raise ArchiveError(_say(dest.as_posix(), found, "a disk with room"))


def _say(file: str, found: str, expected: str) -> Problem:
    remedy = "nothing was written; put it right and run the same again"
    return Problem(file, 0, found, expected, remedy, Weight.STOPS)
