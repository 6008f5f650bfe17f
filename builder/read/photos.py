"""The photographs of a piece's folder, and what names and sidecar say of each. None is opened."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.errors import Problem, Weight
from builder.read.attempts import Attempt
from builder.read.corners import read_boxes, read_quad
from builder.read.photo_names import Numbering, PhotoName, read_photo_name
from builder.read.photo_notes import PlacedNote, match_notes
from builder.read.picture_files import list_pictures
from builder.read.wording import quote, suggest
from builder.recent import Recent
from builder.records.facts import Fact
from builder.records.photo import Box, Light, PhotoFile, Quad, State, StateFrom
from builder.records.piece import Entry, PhotoNote
from builder.records.settings import Settings

#: A blank is photographed before its colouring begins.
STATES_BEFORE = frozenset({State.BARE, State.CLEANED})
_NO_SETUP = "none"
_ALL: tuple[Box, ...] = ((0.0, 0.0, 1.0, 1.0),)
_NO_NOTE = PhotoNote(file="")


@dataclass(frozen=True)
class Folder:
    """A piece's folder: its attempts as written and as followed, in one order."""

    root: Path
    path: Path
    attempts: tuple[Attempt, ...]
    entries: tuple[Entry, ...]

    @property
    def name(self) -> str:
        """Relative to the library's folder, with ``/``."""
        return self.path.relative_to(self.root).as_posix()


def list_photos(
    folder: Folder, settings: Settings, numbering: Numbering, recent: Recent | None = None
) -> tuple[tuple[PhotoFile, ...], tuple[Problem, ...]]:
    """The folder's pictures by name, with what is known of each, and every problem with them.

    ``numbering`` is the whole library's. Hidden files, sub-folders and files that
    are no pictures are passed over.
    """
    recent = recent or Recent()
    names, problems = recent.recall(
        ("pictures", folder.path),
        _list_names(folder.path),
        lambda: list_pictures(folder.root, folder.path),
    )
    photos, said = recent.recall(
        ("photos", folder.path),
        (folder, names, recent.mark(("settings", ""), (settings, numbering))),
        lambda: _read_photos(folder, names, settings, numbering),
    )
    return photos, (*problems, *said)


def _list_names(folder: Path) -> list[tuple[str, int, bool]]:
    """What lies in a folder by name, number on its disk, and whether it is a link."""
    with os.scandir(folder) as entries:
        return sorted((one.name, one.inode(), one.is_symlink()) for one in entries)


def _read_photos(
    folder: Folder, names: Sequence[str], settings: Settings, numbering: Numbering
) -> tuple[tuple[PhotoFile, ...], tuple[Problem, ...]]:
    many: tuple[Problem, ...] = ()
    if len(names) > settings.limits.photos:
        many = (_say_many(folder, len(names), settings.limits.photos),)
        names = names[: settings.limits.photos]
    notes, problems = match_notes(folder.attempts, folder.entries, names, folder.name)
    problems = [*many, *problems]
    photos = []
    for name in names:
        note, named = notes.get(name), read_photo_name(name, numbering)
        photo = _read_photo(folder, name, note, settings, named)
        photos.append(photo)
        problems += _note_name(folder, photo, named, note)
        problems += _note_attempt(folder, photo, note)
        problems += _note_note(note, photo, settings, named) if note else []
    return tuple(photos), tuple(problems)


def _say_many(folder: Folder, count: int, most: int) -> Problem:
    return Problem(
        folder.name,
        0,
        f"there are {count} pictures in this folder",
        f"expected at most {most} of one piece",
        "raise “photos” under limits in mkdocs.yml; those beyond, by name, are left out",
        Weight.LEFT_OUT,
    )


def foresee_photo(folder: Folder, name: str, settings: Settings, numbering: Numbering) -> PhotoFile:
    """What would be known of a picture of that name in the folder, were it there, with nothing
    written of it in the sidecar."""
    return _read_photo(folder, name, None, settings, read_photo_name(name, numbering))


def _read_photo(
    folder: Folder, name: str, placed: PlacedNote | None, settings: Settings, said: PhotoName
) -> PhotoFile:
    note = placed.note if placed else _NO_NOTE
    day = _read_day(note) or said.day
    entry = _choose_entry(folder, placed, day)
    setup = _choose_setup(note, entry, settings)
    stand = settings.setup_named(setup)
    state = _read_state(note.state)
    return PhotoFile(
        path=f"{folder.name}/{name}",
        piece=entry.piece.piece,
        attempt=entry.piece.attempt,
        named_piece=said.number,
        written=day,
        state=state or said.state,
        state_from=StateFrom.SIDECAR if state else StateFrom.FILE_NAME if said.state else None,
        side=note.side.value or said.side or "front",
        light=_read_light(note.light) or said.light or Light(stand.light if stand else "plain"),
        setup=setup,
        piece_at=_read_place(note.piece_at),
        card_at=_read_place(note.card_at),
        blur=_read_blur(note.blur),
        caption=note.caption.written if note.caption.given else "",
        line=placed.find_line() if placed else 0,
    )


def _read_day(note: PhotoNote) -> dt.date | None:
    return note.date.value.day if note.date.value else None


def _read_state(fact: Fact[str]) -> State | None:
    return State(fact.value) if fact.value in list(State) else None


def _read_light(fact: Fact[str]) -> Light | None:
    return Light(fact.value) if fact.value in list(Light) else None


def _read_place(corners: Sequence[object]) -> Quad | None:
    quad = read_quad(corners)
    return None if isinstance(quad, str) else quad


def _read_blur(written: Sequence[object]) -> tuple[Box, ...]:
    """All of the picture where it cannot be told what was to be hidden."""
    boxes = read_boxes(written)
    return _ALL if isinstance(boxes, str) else boxes


def _choose_entry(folder: Folder, placed: PlacedNote | None, day: dt.date | None) -> Entry:
    """The attempt a picture shows: the one its note names or stands in, else the latest that had
    begun by its day, else the first."""
    if placed:
        wanted = placed.note.attempt.value
        for entry in folder.entries:
            if wanted and entry.piece.attempt == int(wanted.number):
                return entry
        return folder.entries[folder.attempts.index(placed.attempt)]
    begun = [entry for entry in folder.entries if _has_begun(entry, day)]
    return begun[-1] if begun else folder.entries[0]


def _has_begun(entry: Entry, day: dt.date | None) -> bool:
    started = entry.piece.started.value
    return bool(started and day and started.day <= day)


def _choose_setup(note: PhotoNote, entry: Entry, settings: Settings) -> str:
    """The set-up by name: the note's, the piece's, or the library's usual one; "" for none, and
    for one the library does not have."""
    name = note.setup.written or entry.piece.setup or settings.default_setup
    return name if settings.setup_named(name) else ""


def _note_name(
    folder: Folder, photo: PhotoFile, said: PhotoName, placed: PlacedNote | None
) -> list[Problem]:
    """What is odd about a picture's name."""
    problems = []
    if said.not_a_day:
        problems.append(
            Problem(
                photo.path,
                0,
                f"the name's date, {said.not_a_day}, is no day of the calendar",
                "expected year-month-day, such as 2025-01-14",
                "rename the picture",
            )
        )
    if said.number and said.number != photo.piece:
        problems.append(
            Problem(
                photo.path,
                0,
                f"the file's name says {said.number}, the folder is of {photo.piece}",
                "expected pictures of one piece",
                f"move it to {said.number}, or rename it; it is not compared until then",
            )
        )
    entry = next(e for e in folder.entries if e.piece.attempt == photo.attempt)
    started = entry.piece.started.value
    dated = placed is not None and _read_day(placed.note) is not None  # looked at with the dates
    early = started is not None and said.day is not None and said.day < started.day
    if early and started and photo.state not in STATES_BEFORE and not dated:
        problems.append(
            Problem(
                photo.path,
                0,
                f"the name's date, {said.day}, is before the piece began, {started.day}",
                "expected a later day, or the state “bare” or “cleaned”",
                "rename the picture, or correct “started”",
            )
        )
    return problems


def _note_attempt(folder: Folder, photo: PhotoFile, placed: PlacedNote | None) -> list[Problem]:
    """A picture of a piece tried more than once, that does not tell which time it shows."""
    if len(folder.entries) == 1 or placed or photo.written:
        return []
    found = f"the piece was tried {len(folder.entries)} times, and nothing tells which time this is"
    remedy = f"write its date into its name; attempt {photo.attempt} is taken for now"
    return [Problem(photo.path, 0, found, "expected a date, or an entry under photos", remedy)]


def _note_note(
    placed: PlacedNote, photo: PhotoFile, settings: Settings, said: PhotoName
) -> list[Problem]:
    """What is odd about a picture's entry in the sidecar."""
    note, attempt = placed.note, placed.attempt
    problems = []
    for key, written in (("piece_at", note.piece_at), ("card_at", note.card_at)):
        quad = read_quad(written)
        if written and isinstance(quad, str):
            problems.append(
                attempt.note(
                    placed.find_line(key),
                    f"{key} of {quote(note.file)}: {quad}",
                    "expected [left, top, right, bottom] or four corners [x, y], as fractions",
                    "put it right; until then the set-up's place is taken",
                )
            )
    boxes = read_boxes(note.blur)
    if isinstance(boxes, str):
        problems.append(
            attempt.note(
                placed.find_line("blur"),
                f"blur of {quote(note.file)}: {boxes}",
                "expected [left, top, right, bottom] or a list of such, as fractions from 0 to 1",
                "put it right; until then all of the picture is blurred",
            )
        )
    names = [setup.name for setup in settings.setups]
    if note.setup.given and note.setup.written not in (*names, _NO_SETUP):
        problems.append(
            attempt.note(
                placed.find_line("setup"),
                f"setup of {quote(note.file)} is {quote(note.setup.written)}",
                "expected a set-up of mkdocs.yml, or none",
                suggest(note.setup.written, names, "write it down in mkdocs.yml, or correct it"),
            )
        )
    day = _read_day(note)
    if day and said.day and day != said.day:
        problems.append(
            attempt.note(
                placed.find_line("date"),
                f"{quote(note.file)} is dated {day} here and {said.day} in its name",
                "expected one date",
                "correct one of them; the one here is taken",
            )
        )
    wanted = note.attempt.value
    if wanted and int(wanted.number) != photo.attempt:
        problems.append(
            attempt.note(
                placed.find_line("attempt"),
                f"{quote(note.file)} is said to show attempt {note.attempt.written}",
                f"expected an attempt of this piece, such as {photo.attempt}",
                "correct it; the attempt it is written under is taken",
            )
        )
    return problems
