"""Whether a site still stands as it was made, told from sizes and times alone.

Nothing is opened but the note of the last build, and nothing heavy is imported: on a library where
nothing has changed this is all that a build does. Whatever is not surely the same is built anew.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from builder.changeover import MARK
from builder.errors import Problem, Weight
from builder.safe_files import write_whole

#: Folders that nothing of a site is made from; and those of earlier sites, which have a MARK.
_PASSED = frozenset({"__pycache__", "node_modules"})
#: Pictures are named by content: that none came or went says enough of their folder.
_PICTURES = "pictures"


class _LeadsElsewhereError(Exception):
    """A link was met: what it leads to may change without a trace here."""


@dataclass(frozen=True)
class Standing:
    """A site that is as it was made: its folder, what was to put right, and the last words said."""

    site: Path
    problems: tuple[Problem, ...]
    words: str


def mark_inputs(root: Path, asked: Mapping[str, str]) -> str:
    """A digest of all that a build of the library at ``root`` depends on: ``asked`` of it, this
    program, and every file of the library by name, size and time; "" where that cannot be told,
    since a link leads elsewhere."""
    here = Path(__file__).parent
    templates = here.parent / "site_templates"
    folders = (here, *([templates] if templates.is_dir() else []), root)
    digest = hashlib.sha256(json.dumps(asked, sort_keys=True).encode())
    try:
        for folder in folders:
            for line in _walk(folder, folder):
                digest.update(line.encode("utf-8", "surrogateescape"))
    except _LeadsElsewhereError:
        return ""
    return digest.hexdigest()


def find_standing(notes: Path, asked: Mapping[str, str], inputs: str) -> Standing | None:
    """The site that was last made for what is ``asked``, if its ``inputs`` were these and nobody
    has touched it since; ``notes`` is the folder that holds the notes of builds."""
    try:
        file = _note(notes, asked)
        if not stat.S_ISREG(file.lstat().st_mode):  # a pipe would be waited for
            return None
        note: Any = json.loads(file.read_bytes())
        site = Path(note["site"])
        if not inputs or note["inputs"] != inputs or note["made"] != _mark_site(site):
            return None
        problems = tuple(
            Problem(**{**one, "weight": Weight(one["weight"])}) for one in note["problems"]
        )
        return Standing(site, problems, str(note["words"]))
    except (OSError, ValueError, KeyError, TypeError, _LeadsElsewhereError):
        return None  # no note, or not one of ours


def note_standing(notes: Path, asked: Mapping[str, str], inputs: str, standing: Standing) -> None:
    """Write down that the site was made of these ``inputs``. A disk that refuses is no matter: the
    next build builds."""
    note = {
        "inputs": inputs,
        "site": str(standing.site),
        "made": _mark_site(standing.site),
        "problems": [asdict(problem) for problem in standing.problems],
        "words": standing.words,
    }
    try:
        write_whole(_note(notes, asked), json.dumps(note, ensure_ascii=False).encode())
    except OSError:
        return


def lies_within(root: Path, places: Sequence[Path]) -> bool:
    """Whether all ``places`` are in the library's folder, which is all that is looked at."""
    return all(place.resolve().is_relative_to(root.resolve()) for place in places)


def _note(notes: Path, asked: Mapping[str, str]) -> Path:
    whom = hashlib.sha256(asked.get("audience", "").encode("utf-8", "surrogateescape")).hexdigest()
    return notes / f"built-{whom[:12]}.json"


def _mark_site(site: Path) -> str:
    digest = hashlib.sha256()
    for line in _walk(site, site, site=True):
        digest.update(line.encode("utf-8", "surrogateescape"))
    return digest.hexdigest()


def _is_packed_site(entry: os.DirEntry[str]) -> bool:
    """Whether it lies beside the site that it was packed from."""
    return entry.name.endswith(".zip") and Path(entry.path).with_suffix("").joinpath(MARK).is_file()


def _walk(folder: Path, root: Path, site: bool = False) -> Iterator[str]:
    """A line for every file and folder below, sorted: name, size, time."""
    with os.scandir(folder) as found:
        entries = sorted(found, key=lambda entry: entry.name)
    if not site and any(entry.name == MARK for entry in entries):
        return
    yield f"{os.path.relpath(folder, root)}/\n"
    for entry in entries:
        if not site and (entry.name.startswith(".") or entry.name in _PASSED):
            continue
        if entry.is_symlink():
            raise _LeadsElsewhereError
        if not site and _is_packed_site(entry):
            continue
        status = entry.stat()
        path = os.path.relpath(entry.path, root)
        if not entry.is_dir():
            # What keeps a file's size and time while it changes it does not keep this time as well.
            # In a site it also tells of each further name that a picture or page is given.
            moved = 0 if site else status.st_ctime_ns
            yield f"{path}\0{status.st_size}\0{status.st_mtime_ns}\0{moved}\n"
        elif site and path == _PICTURES:
            yield f"{path}\0{status.st_mtime_ns}\n"
        else:
            yield from _walk(Path(entry.path), root, site)
