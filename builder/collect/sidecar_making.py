"""A new piece's sidecar put into its folder, whole and never over one that is there.

The caller holds the library's lock.
"""

from __future__ import annotations

import contextlib
from pathlib import Path

from builder.errors import LibraryError, Problem, Weight
from builder.safe_files import name_without_replacing, part_of, write_whole


def make_sidecar(root: Path, file: str, text: str) -> None:
    """``text`` as the file of that name, relative to ``root``, its folder made if need be. Raises
    ``LibraryError``."""
    target = root / file
    part = part_of(target)
    try:
        target.parent.mkdir(exist_ok=True)
        write_whole(part, text.encode())
        name_without_replacing(part, target)
    except OSError as error:
        raise LibraryError(
            Problem(
                file,
                0,
                f"it cannot be made ({error.strerror or error})",
                "a folder you may write to, with room on the disk, and no file of this name",
                "see to that and give the command again: what was done is whole and known",
                Weight.STOPS,
            )
        ) from None
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
