"""The picture files of a folder, by name; none is opened."""

from __future__ import annotations

import stat
from pathlib import Path

from builder.errors import Problem, Weight
from builder.read.wording import show_name

PICTURE_ENDINGS = frozenset({".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"})


def list_pictures(root: Path, folder: Path) -> tuple[list[str], list[Problem]]:
    """Names of the picture files in a folder, sorted; those that lead outside ``root``, are no
    files, or have a name that cannot be printed are left out with a problem."""
    names, problems = [], []
    home = root.resolve()
    for path in sorted(folder.iterdir()):
        if path.name.startswith(".") or path.suffix.lower() not in PICTURE_ENDINGS:
            continue
        if path.is_dir() and not path.is_symlink():
            continue
        reason = _find_reason_to_skip(path, home)
        if reason:
            where = show_name(path.relative_to(root).as_posix())
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
            names.append(path.name)
    return names, problems


def _find_reason_to_skip(path: Path, home: Path) -> str:
    if show_name(path.name) != path.name:
        return "the file's name has signs that do not print"
    try:
        if not path.resolve(strict=True).is_relative_to(home):
            return "this is a link that leads outside the library"
        return "" if stat.S_ISREG(path.stat().st_mode) else "this is not a file"
    except (OSError, RuntimeError):
        return "this is a link that leads nowhere"
