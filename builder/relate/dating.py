"""A photograph's day, and what it rests on."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import PurePosixPath

from builder.errors import Problem
from builder.records.photo import DateFrom, Observation, State
from builder.records.piece import Entry, PhotoNote

#: Camera and notebook may differ by a midnight or a time zone, not by more.
DISAGREE_BEYOND = dt.timedelta(days=1)

_BEFORE_COLOURING = (State.BARE, State.CLEANED)


@dataclass(frozen=True)
class Dated:
    """``doubt`` is a sentence where the day serves no comparison, else ""."""

    taken: dt.date | None
    taken_from: DateFrom
    doubt: str = ""
    problems: tuple[Problem, ...] = ()


def date_photo(
    observation: Observation, entry: Entry, began: dt.date | None, today: dt.date
) -> Dated:
    """The day of one photograph of ``entry``, whose work ``began`` on that day.

    The camera's day goes before a written one, unless the sidecar gives this photograph a date of
    its own, or the camera's day cannot be true and the written one can.
    """
    file, camera = observation.file, observation.picture.exif.taken
    seen = None if camera is None else camera.date()
    written = file.written
    stated = _stated_day(observation, entry)
    problems: list[Problem] = []
    if stated is not None:
        taken, source = stated, DateFrom.WRITTEN
    elif seen is not None:
        taken, source = seen, DateFrom.CAMERA
        if written is not None and abs(seen - written) > DISAGREE_BEYOND:
            if _impossible(seen, file.state, began, today) and not _impossible(
                written, file.state, began, today
            ):
                taken, source = written, DateFrom.WRITTEN
            problems.append(_disagreement(observation, entry, seen, written, source))
    elif written is not None:
        taken, source = written, DateFrom.WRITTEN
    else:
        return Dated(
            observation.picture.file_day, DateFrom.FILE, "its date rests on the file alone"
        )
    doubt = _impossible(taken, file.state, began, today)
    # What is written wrongly has been told where it was read, but for a name's date to come.
    read_of = stated is not None or (
        written is not None and not file.line and _too_early(written, file.state, began)
    )
    if doubt and not read_of:
        problems.append(_impossible_day(observation, entry, taken, doubt, began, today))
    return Dated(taken, source, doubt, tuple(problems))


def note_of(observation: Observation, entry: Entry) -> PhotoNote | None:
    """What the sidecar says of this very photograph."""
    name = PurePosixPath(observation.file.path).name
    return next((note for note in entry.piece.photos if note.file == name), None)


def _stated_day(observation: Observation, entry: Entry) -> dt.date | None:
    note = note_of(observation, entry)
    return None if note is None or note.date.value is None else note.date.value.day


def _impossible(day: dt.date, state: State | None, began: dt.date | None, today: dt.date) -> str:
    if day > today:
        return "dated in the future"
    return "dated before the piece began" if _too_early(day, state, began) else ""


def _too_early(day: dt.date, state: State | None, began: dt.date | None) -> bool:
    # Without a state the day itself says that it shows the bare metal.
    return began is not None and day < began and state not in (None, *_BEFORE_COLOURING)


def _place(observation: Observation, entry: Entry) -> tuple[str, int]:
    line = observation.file.line
    return (entry.file, line) if line else (observation.file.path, 0)


def _disagreement(
    observation: Observation, entry: Entry, seen: dt.date, written: dt.date, used: DateFrom
) -> Problem:
    file, line = _place(observation, entry)
    return Problem(
        file,
        line,
        f"the camera says {seen}, the notes or the file name {written}; "
        f"the {'camera' if used is DateFrom.CAMERA else 'written'} date is used",
        "two dates within a day of each other",
        f"rename the file, or give {PurePosixPath(observation.file.path).name} a `date` "
        "under `photos` in its sample.yaml",
    )


def _impossible_day(
    observation: Observation,
    entry: Entry,
    taken: dt.date,
    doubt: str,
    began: dt.date | None,
    today: dt.date,
) -> Problem:
    file, line = _place(observation, entry)
    bound = f"not after {today}" if taken > today else f"not before {began}"
    return Problem(
        file,
        line,
        f"the photograph is {doubt}: {taken}",
        f"a date {bound}",
        f"give {PurePosixPath(observation.file.path).name} its true `date` under `photos` in its "
        "sample.yaml; until then it is compared with nothing",
    )
