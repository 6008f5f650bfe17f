"""A site as one file to hand over: a zip file that unpacks on any system, the same bytes for the
same site."""

from __future__ import annotations

import os
import stat
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from builder.archive.names import find_alike, find_unportable
from builder.changeover import MARK
from builder.errors import Problem, SiteError, Weight
from builder.safe_files import writing
from builder.shipped import shipped_folder

GUIDE = "README.txt"
_START = "index.html"
#: Characters of a path in the zip file. Windows' usual end is at 260, and people unpack deep down.
LONGEST_PATH = 150
#: What is packed in itself; all else is text.
_STORED = frozenset(
    {
        ".avif", ".gif", ".gz", ".ico", ".jpeg", ".jpg", ".pdf", ".png", ".webp", ".woff", ".woff2",
        ".zip",
    }
)  # fmt: skip
_TIME = (1980, 1, 1, 0, 0, 0)  # the first a zip file can say, and so none
_UNIX = 3


def refuse_zip(target: Path, keep: Iterable[Path]) -> None:
    """Raise :class:`SiteError` where ``target`` lies in one of the folders to ``keep``, or has the
    name of something that no build has made. All paths absolute."""
    found = ""
    if any(own in target.parents for own in keep):
        found = "the zip file would lie in a folder of the library's own"
    elif target.is_symlink() or (target.exists() and not _is_ours(target)):
        found = "what has the zip file's name was made by no build"
    if found:
        raise _stop(
            target.name,
            found,
            "a place beside the site, free or with an earlier build's zip file",
            "move it away, or name another folder with site_dir in mkdocs.yml",
        )


def refuse_names(built: Path, top: str) -> None:
    """Raise :class:`SiteError` where Windows could not keep the files of a site under the folder
    ``top``: reserved names and signs, names that differ by case alone, paths that are too long."""
    paths = [f"{top}/{path}" for path in _list_files(built)]
    for path in paths:
        found = find_unportable(path)
        if not found and len(path) > LONGEST_PATH:
            found = f"a path of {len(path)} characters"
        if found:
            raise _stop(
                path,
                found,
                f"names that every system can keep, in paths up to {LONGEST_PATH} characters",
                "rename the piece or the file, or build without --zip",
            )
    for alike in find_alike(paths):
        raise _stop(
            alike[0],
            f"some disks take its name for that of {alike[1]}",
            "names that differ by more than case",
            "rename one of the two, or build without --zip",
        )


def pack_site(site: Path, target: Path, title: str) -> None:
    """Everything in ``site`` as the zip file ``target``: one folder of the site's name, with a hint
    how to open it. Written whole or not at all.

    Pictures are stored, text is packed; files are sorted and have no times. Raises
    :class:`SiteError` where the disk refuses.
    """
    try:
        with writing(target) as stream, zipfile.ZipFile(stream, "w") as archive:
            if not (site / GUIDE).exists():  # the maker's own goes before ours
                _add(archive, f"{site.name}/{GUIDE}", _write_guide(title, site.name).encode())
            for path in sorted(_list_files(site), key=lambda path: (path != _START, path)):
                _add(archive, f"{site.name}/{path}", (site / path).read_bytes())
    except OSError as error:
        raise _stop(
            target.name,
            f"the zip file could not be written ({error.strerror or error})",
            "a folder that may be written to, with room on its disk",
            "make room; the site is whole, and an earlier zip file is as it was",
        ) from error


def _add(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    member = zipfile.ZipInfo(name, _TIME)
    stored = Path(name).suffix.lower() in _STORED
    member.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
    member.create_system = _UNIX
    member.external_attr = (stat.S_IFREG | 0o644) << 16
    archive.writestr(member, data, compresslevel=9)


def _write_guide(title: str, folder: str) -> str:
    """In the line ends that every editor knows."""
    template = shipped_folder("site_templates") / "handover" / GUIDE
    words = template.read_text(encoding="utf-8") % {"title": title, "folder": folder}
    return words.replace("\n", "\r\n")


def _list_files(site: Path) -> Iterator[str]:
    for folder, folders, names in os.walk(site):
        folders.sort()
        for name in sorted(names):
            path = Path(folder, name)
            if not path.is_symlink():  # a link is none we made
                yield path.relative_to(site).as_posix()


def _is_ours(target: Path) -> bool:
    """Whether a build has made it: then it holds the mark of a built site."""
    try:
        with zipfile.ZipFile(target) as archive:
            return any(name.partition("/")[2] == MARK for name in archive.namelist())
    except (OSError, zipfile.BadZipFile):
        return False


def _stop(file: str, found: str, expected: str, remedy: str) -> SiteError:
    return SiteError(Problem(file, 0, found, expected, remedy, Weight.STOPS))
