"""A library's folder to the whole :class:`Library`."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from builder.errors import LibraryError, Problem, Weight
from builder.read.attempts import Attempt
from builder.read.completeness import check_completeness, check_names
from builder.read.dates import check_dates
from builder.read.photo_names import learn_numbering
from builder.read.photos import Folder, list_photos
from builder.read.picture_files import PICTURE_ENDINGS
from builder.read.same_as import follow_same_as
from builder.read.sidecar import SIDECAR, Sidecar, read_sidecar
from builder.read.wording import find_nearest, quote, show_name
from builder.recent import Recent
from builder.records.library import Library
from builder.records.photo import PhotoFile
from builder.records.piece import Entry
from builder.records.plans import list_planned
from builder.records.settings import Settings
from builder.records.words import AUDIENCES


@dataclass
class _Found:
    """What the folders gave, before anything is followed."""

    folders: list[Path] = field(default_factory=list)
    attempts: dict[Path, tuple[Attempt, ...]] = field(default_factory=dict)
    unread: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def read_library(
    root: Path, settings: Settings, today: dt.date, recent: Recent | None = None
) -> Library:
    """Every piece and every photograph under ``root``, and every problem of every file.

    Folders are walked in the order of their names; entries come in the order of number and
    attempt, figures counted as numbers. ``today`` is what dates are held against; ``recent`` knows
    sidecars read before in this process, and gives the very same entries of those unchanged.
    Raises ``LibraryError`` where there is no folder of pieces.
    """
    recent = recent or Recent()
    found = _read_folders(root, settings, recent)
    attempts = _drop_doubles(found)
    entries, problems = follow_same_as(attempts, found.unread, recent)
    problems = (*settings.problems, *found.problems, *problems)
    numbers = frozenset(entry.piece.piece for entry in entries)
    for attempt, entry in zip(attempts, entries, strict=True):
        problems += recent.recall(
            ("dates", attempt.key),
            (attempt, entry, today),
            partial(check_dates, attempt, entry, today),
        )
        problems += check_names(attempt, entry, settings, numbers)
    photos: list[PhotoFile] = []
    numbering = learn_numbering(numbers)
    by_key = {attempt.key: entry for attempt, entry in zip(attempts, entries, strict=True)}
    for path in found.folders:
        own = found.attempts.get(path, ())
        if not own:
            continue
        folder = Folder(root, path, own, tuple(by_key[attempt.key] for attempt in own))
        try:
            listed, said = list_photos(folder, settings, numbering, recent)
        except OSError as error:
            listed, said = (), (_say_closed(show_name(folder.name), error),)
        photos += listed
        problems += said
    planned = list_planned(entries, photos)
    for attempt, entry in zip(attempts, entries, strict=True):
        problems += check_completeness(attempt, entry, planned=attempt.key in planned)
    return Library(
        root=root,
        settings=settings,
        entries=tuple(sorted(entries, key=_order_entries)),
        photos=tuple(sorted(photos, key=lambda photo: photo.path)),
        problems=tuple(sorted(set(problems))),
    )


def _read_folders(root: Path, settings: Settings, recent: Recent) -> _Found:
    samples = root / settings.samples
    if not samples.is_dir():
        raise LibraryError(
            Problem(
                settings.samples,
                0,
                "there is no such folder",
                "expected a folder with one folder for each piece in it",
                "make it, or name another under “samples” in mkdocs.yml",
                Weight.STOPS,
            )
        )
    found = _Found()
    home = root.resolve()
    try:
        paths = sorted(samples.iterdir())
    except OSError as error:
        closed = replace(_say_closed(settings.samples, error), weight=Weight.STOPS)
        raise LibraryError(closed) from None
    for path in paths:
        if len(found.folders) >= settings.limits.pieces:
            found.problems.append(_say_many(settings))
            break
        file = show_name(path.relative_to(root).as_posix())
        if path.name.startswith("."):
            continue
        if not path.is_dir():
            found.problems += _note_stray(path, file)
        elif not path.resolve().is_relative_to(home):
            found.problems.append(
                Problem(
                    file,
                    0,
                    "this is a link that leads outside the library",
                    "expected a piece's folder",
                    "put the folder here",
                    Weight.LEFT_OUT,
                )
            )
        else:
            found.folders.append(path)
            try:
                _read_folder(path, file, home, settings, found, recent)
            except (OSError, RuntimeError) as error:  # RuntimeError: a link that leads to itself
                found.problems.append(_say_closed(file, error))
    return found


def _say_many(settings: Settings) -> Problem:
    return Problem(
        settings.samples,
        0,
        f"there are more than {settings.limits.pieces} folders",
        "expected no more pieces than limits allow",
        "raise “pieces” under limits in mkdocs.yml; folders beyond are left out",
        Weight.LEFT_OUT,
    )


def _say_closed(file: str, error: Exception) -> Problem:
    reason = (getattr(error, "strerror", "") or "a link leads to itself").lower()
    return Problem(
        file,
        0,
        f"the folder cannot be read: {reason}",
        "expected a folder that can be opened",
        "check that you may read it",
        Weight.LEFT_OUT,
    )


def _read_folder(
    path: Path, file: str, home: Path, settings: Settings, found: _Found, recent: Recent
) -> None:
    sidecar = path / SIDECAR
    name = f"{file}/{SIDECAR}"
    if not sidecar.is_symlink() and not sidecar.exists():
        found.problems += _note_no_sidecar(path, file)
        return
    if not sidecar.resolve().is_relative_to(home):
        found.problems.append(
            Problem(
                name,
                0,
                "this is a link that leads outside the library",
                "expected a file",
                "put a copy here",
                Weight.LEFT_OUT,
            )
        )
        return
    read = _read_once(sidecar, name, path.name, settings, recent)
    found.problems += read.problems
    found.attempts[path] = read.attempts
    if not read.attempts:
        found.unread[path.name] = name


def reread_sidecar(
    root: Path, file: str, settings: Settings, recent: Recent
) -> tuple[Problem, ...]:
    """Read a sidecar that has changed, for :func:`read_library` to know. Where a part of it would
    be left out that was there before, what it last said stands, and why is given back."""
    path = root / file
    question = ("sidecar", path)
    _, last = recent.held.get(question, (None, None))
    read = _read_once(path, file, path.parent.name, settings, recent)
    left_out = tuple(one for one in read.problems if one.weight is Weight.LEFT_OUT)
    if not left_out or last is None or len(last.attempts) <= len(read.attempts):
        return ()
    told, _ = recent.held[question]
    recent.keep(question, told, last)
    return left_out


def _read_once(path: Path, file: str, folder: str, settings: Settings, recent: Recent) -> Sidecar:
    """The sidecar, read anew only where its size or time is another."""
    audiences = sorted({*AUDIENCES, *(audience.name for audience in settings.audiences)})

    def read() -> Sidecar:
        return read_sidecar(path, file, folder, settings.limits, audiences)

    try:
        status = path.stat()
    except OSError:
        return read()
    # Whatever keeps its size and time while it changes does not keep the other time as well.
    times = (status.st_mtime_ns, status.st_ctime_ns)
    told = (file, status.st_size, times, settings.limits, audiences)
    return recent.recall(("sidecar", path), told, read)


def _note_stray(path: Path, file: str) -> list[Problem]:
    """Files that lie beside the pieces' folders and look as if they belonged into one."""
    if path.suffix.lower() not in PICTURE_ENDINGS and path.name != SIDECAR:
        return []
    return [
        Problem(
            file,
            0,
            "this lies in no piece's folder",
            "expected one folder for each piece",
            "move it into the folder of its piece",
            Weight.LEFT_OUT,
        )
    ]


def _note_no_sidecar(path: Path, file: str) -> list[Problem]:
    """A folder without its sidecar; an empty one is nothing yet."""
    names = sorted(item.name for item in path.iterdir() if not item.name.startswith("."))
    if not names:
        return []
    near = find_nearest(SIDECAR, names)
    remedy = f"rename {quote(near)}" if near else "write one; “piece”, “metal”, “method” and a date"
    remedy += "" if near else " are enough"
    return [
        Problem(
            file,
            0,
            f"there is no {SIDECAR} in this folder",
            f"expected {SIDECAR}",
            remedy,
            Weight.LEFT_OUT,
        )
    ]


def _drop_doubles(found: _Found) -> list[Attempt]:
    """Attempts in the order of their folders, each number and attempt once. Numbers that differ
    in capitals alone would share a page's name on many systems."""
    first: dict[tuple[str, int], Attempt] = {}
    for path, attempts in found.attempts.items():
        kept = []
        for attempt in attempts:
            key = (attempt.number.casefold(), attempt.attempt)
            if key in first:
                found.problems.append(_say_double(attempt, first[key]))
            else:
                first[key] = attempt
                kept.append(attempt)
        found.attempts[path] = tuple(kept)
    return list(first.values())


def _say_double(attempt: Attempt, other: Attempt) -> Problem:
    same = attempt.number == other.number
    which = f"attempt {attempt.attempt} at {attempt.number}"
    said = f"{which} is written in {other.file} (line {other.line}) too"
    if not same:
        said = f"{attempt.number} and {other.number} ({other.file}) differ in capitals alone"
    return attempt.note(
        attempt.find_line("piece") if "piece" in attempt.tree else attempt.line,
        said,
        "expected each number and attempt once",
        "renumber one of them, or write “attempt: 2” for a second try",
        Weight.LEFT_OUT,
    )


def _order_entries(entry: Entry) -> tuple[Sequence[tuple[int, int, str]], str, int]:
    return order_number(entry.piece.piece), entry.piece.piece, entry.piece.attempt


def order_number(number: str) -> tuple[tuple[int, int, str], ...]:
    """A key that puts SH-2 before SH-10, and figures before letters."""
    parts = re.findall(r"[0-9]+|[^0-9]+", number)
    return tuple(
        (0, int(part), "") if part.isdigit() else (1, 0, part.casefold()) for part in parts
    )
