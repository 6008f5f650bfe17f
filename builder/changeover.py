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
from collections.abc import Iterable
from pathlib import Path

from builder.errors import Problem, SiteError, Weight

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2


def zip_beside(site: Path) -> Path:
    """Where a site's zip file lies: ``site-for-clients.zip`` beside ``site-for-clients``."""
    return site.with_name(f"{site.name}.zip")


def building_folder(site: Path) -> Path:
    """Where the next site is made: beside the last one, so that a rename is enough."""
    return site.parent / f".{site.name}.next"


def _last_folder(site: Path) -> Path:
    return site.parent / f".{site.name}.last"


#: Lies in every site made here: what has it may be replaced, what has not is somebody's own.
MARK = "made-by-patinarium.txt"
_MARK_WORDS = (
    "This folder is made anew at every build of the library.\n"
    "Keep nothing of your own in it: it would be gone after the next one.\n"
)


def refuse_place(site: Path, root: Path, keep: Iterable[Path]) -> None:
    """Raise :class:`SiteError` where ``site`` is no folder that a build may replace: one that holds
    or lies in the library's own folders (``root`` itself and those to ``keep``), a link, a file, or
    a folder with things in it that no build has made. All paths absolute."""
    found = ""
    if site == root or site in root.parents:
        found = "the site's folder holds the library itself"
    elif any(site == own or site in own.parents or own in site.parents for own in keep):
        found = "the site's folder overlaps a folder of the library's own"
    elif site.is_symlink():
        found = "the site's folder is a link"
    elif site.exists() and not site.is_dir():
        found = "what has the site's name is a file"
    elif site.is_dir() and any(site.iterdir()) and not (site / MARK).is_file():
        found = "the site's folder holds files that no build has made"
    if found:
        raise SiteError(
            Problem(
                site.name,
                0,
                found,
                "a folder of the site's own, empty or made by an earlier build",
                "move what is in it, or name another with site_dir in mkdocs.yml; "
                "nothing was changed",
                Weight.STOPS,
            )
        )


def mark(building: Path) -> None:
    """Leave the mark by which a later build knows that it may replace this site."""
    (building / MARK).write_text(_MARK_WORDS, encoding="utf-8", newline="")


def mend(site: Path) -> None:
    """Put right what an interrupted changeover left, and clear what it no longer needs."""
    building, last = building_folder(site), _last_folder(site)
    if building.is_symlink() or building.is_file():
        building.unlink()
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
