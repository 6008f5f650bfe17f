"""A finished folder takes the place of the old one in one step.

A site is built beside the last good one and changes places with it only when it is whole. Where the
system can exchange two names at once (Linux, ``renameat2``), there is no moment without a site;
elsewhere there is one between two renames, and :func:`mend` puts the old one back if the run ended
there.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import shutil
import sys
from pathlib import Path

from builder.errors import Problem, SiteError, Weight

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2


def building_folder(site: Path) -> Path:
    """Where the next site is made: beside the last one, so that a rename is enough."""
    return site.parent / f".{site.name}.next"


def _last_folder(site: Path) -> Path:
    return site.parent / f".{site.name}.last"


def mend(site: Path) -> None:
    """Put right what an interrupted changeover left, and clear what it no longer needs."""
    last = _last_folder(site)
    if last.is_dir():
        if site.exists():
            shutil.rmtree(last, ignore_errors=True)
        else:
            last.rename(site)


def change_over(building: Path, site: Path) -> None:
    """Let ``building`` take the place of ``site``; the old site is removed afterwards.

    Raises :class:`SiteError`, with the old site where it was, when the system refuses (a page held
    open by another program on Windows, a folder on another disk).
    """
    last = _last_folder(site)
    try:
        if not site.exists():
            building.rename(site)
            return
        if _exchange(building, site):
            shutil.rmtree(building, ignore_errors=True)
            return
        site.rename(last)
        try:
            building.rename(site)
        except OSError:
            last.rename(site)
            raise
        shutil.rmtree(last, ignore_errors=True)
    except OSError as error:
        raise SiteError(
            Problem(
                site.name,
                0,
                f"the new site could not take its place ({error.strerror or error})",
                "a folder that no other program holds open, on the same disk as the library",
                "close what has it open and build again; the last site is as it was",
                Weight.STOPS,
            )
        ) from error


def _exchange(one: Path, other: Path) -> bool:
    """Swap two names at once; False where the system cannot."""
    if not sys.platform.startswith("linux"):
        return False
    with contextlib.suppress(OSError, AttributeError):
        rename = ctypes.CDLL(None, use_errno=True).renameat2
        done: int = rename(
            _AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE
        )
        return done == 0
    return False
