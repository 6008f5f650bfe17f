"""Names of files in a bag: how manifests write them, and which lead where they must not.

RFC 8493, 2.1.3 (only LF, CR and % are written as %0A, %0D and %25; version 1.0), 5.1.3 and 5.2
(paths that escape; names that differ by case or Unicode normalisation alone).
"""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable

FIRST_STANDARD = (1, 0)
Version = tuple[int, int]

_WRITTEN = {"0A": "\n", "0D": "\r", "25": "%"}
_PER_CENT = re.compile(r"%(0[AaDd]|25)?")
_HIDDEN = re.compile(r"%(?:2[eEfF]|5[cC])")  # a dot, a slash, a backslash
_DRIVE = re.compile(r"[A-Za-z]:")
_NOT_ON_WINDOWS = re.compile(r'[<>:"|?*\\\x00-\x1f]|[. ]\Z')
_DEVICES = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\.|\Z)", re.IGNORECASE)


def encode_path(path: str) -> str:
    """``path`` as a manifest of version 1.0 writes it."""
    return path.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def decode_path(written: str, version: Version) -> str:
    """The path that a manifest of ``version`` means. Before 1.0 a % stands for itself."""

    def decode(found: re.Match[str]) -> str:
        code = (found[1] or "").upper()
        if not code or (code == "25" and version < FIRST_STANDARD):
            return found[0]
        return _WRITTEN[code]

    return _PER_CENT.sub(decode, written)


def find_stray_per_cent(written: str) -> str:
    """What is wrong with a % that a manifest of version 1.0 leaves as it is, "" if nothing."""
    for found in _PER_CENT.finditer(written):
        if not found[1]:
            hidden = _HIDDEN.match(written, found.start())
            return "a % that hides a dot or a slash" if hidden else "a % that is not written %25"
    return ""


def find_escape(path: str) -> str:
    """Why ``path`` could lead out of the folder it is in, "" where it cannot."""
    if "\\" in path:
        return "a backslash, which is a slash on some systems"
    if path.startswith("/"):
        return "a path from the root of the disk"
    if path.startswith("~"):
        return "a path into somebody's home"
    if _DRIVE.match(path):
        return "a path with a drive's letter"
    if ".." in path.split("/"):
        return "a path that goes up"
    if "\x00" in path or not set(path.split("/")).isdisjoint({"", "."}):
        return "no plain path"
    return ""


def find_unportable(path: str) -> str:
    """Why Windows could not keep a file of this name, "" where it could."""
    for part in path.split("/"):
        if _NOT_ON_WINDOWS.search(part) or _DEVICES.match(part):
            return "a name that Windows cannot keep"
    return ""


def fold(path: str) -> str:
    """The same for names that some disks take for one."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", path).casefold())


def find_alike(paths: Iterable[str]) -> list[tuple[str, ...]]:
    """Groups of names that some disks take for one."""
    groups: dict[str, set[str]] = defaultdict(set)
    for path in paths:
        groups[fold(path)].add(path)
    return sorted(tuple(sorted(group)) for group in groups.values() if len(group) > 1)
