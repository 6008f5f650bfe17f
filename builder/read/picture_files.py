"""The picture files of a folder, by name; none is opened."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from builder.errors import Problem, Weight
from builder.read.wording import show_name

PICTURE_ENDINGS = frozenset({".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"})


def list_pictures(root: Path, folder: Path) -> tuple[list[str], list[Problem]]:
    """Names of the picture files in a folder, sorted; those that lead outside ``root``, are no
    files, or have a name that cannot be printed are left out with a problem."""
    names, problems = [], []
    with os.scandir(folder) as found:
        entries = sorted(found, key=lambda entry: entry.name)
    home = root.resolve()
    within = folder.resolve().is_relative_to(home)
    for entry in entries:
        ending = os.path.splitext(entry.name)[1].lower()  # noqa: PTH122
        if entry.name.startswith(".") or ending not in PICTURE_ENDINGS:
            continue
        if entry.is_dir(follow_symlinks=False):
            continue
        plain = within and entry.is_file(follow_symlinks=False)
        reason = "" if plain else _find_reason_to_skip(folder / entry.name, home)
        if show_name(entry.name) != entry.name:
            reason = "the file's name has signs that do not print"
        if reason:
            where = show_name((folder / entry.name).relative_to(root).as_posix())
            problems.append(
                Problem(
                    where,
                    0,
                    reason,
                    "expected a picture in the piece's own folder",
                    "put a copy of the picture there, plainly named",
                    Weight.LEFT_OUT,
                )
            )
        else:
            names.append(entry.name)
    return names, problems


def _find_reason_to_skip(path: Path, home: Path) -> str:
    try:
        if not path.resolve(strict=True).is_relative_to(home):
            return "this is a link that leads outside the library"
        return "" if stat.S_ISREG(path.stat().st_mode) else "this is not a file"
    except (OSError, RuntimeError):
        return "this is a link that leads nowhere"
